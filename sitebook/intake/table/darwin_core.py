"""Names that the Darwin Core standard has for columns of a table of finds."""

from __future__ import annotations

FIND_NAMES: dict[str, str] = {
    "eventDate": "found_on",
    "eventTime": "found_at",
    "recordedBy": "collector",
    "recordNumber": "collection_number",
    "decimalLongitude": "lon",
    "decimalLatitude": "lat",
    "coordinateUncertaintyInMeters": "uncertainty_m",
    "minimumElevationInMeters": "elevation_m",
    "locality": "site",
    "habitat": "habitat",
    "individualCount": "individual_count",
    "organismQuantityType": "count_of",
    "lifeStage": "growth_stage",
    "occurrenceRemarks": "note",
    "occurrenceStatus": "occurrence_status",
    "scientificName": "name",
    "identificationQualifier": "qualifier",
    "identifiedBy": "determined_by",
    "dateIdentified": "determined_on",
    "identificationVerificationStatus": "verification_level",
    "identificationReferences": "source_used",
    "identificationRemarks": "determination_remarks",
}
"""Term of the standard to the header it stands for."""
