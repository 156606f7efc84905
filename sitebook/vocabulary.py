"""The controlled words a record may hold, each list with the standard it follows or "ours"."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Words:
    """One controlled list.

    Parameters
    ----------
    name
        What the list is called in the docs.
    standard
        The standard the words come from, or "ours".
    meanings
        Word to meaning.
    """

    name: str
    standard: str
    meanings: dict[str, str]

    def __contains__(self, word: object) -> bool:
        return word in self.meanings

    @property
    def all(self) -> tuple[str, ...]:
        """The words in their order."""
        return tuple(self.meanings)


SENSITIVITY = Words(
    "sensitivity of a place",
    "ours, with the steps of GBIF's practice for sensitive species (Chapman 2020)",
    {
        "exact": "may be given as it is",
        "0.001": "given as the cell of 0.001 degree",
        "0.01": "given as the cell of 0.01 degree",
        "0.1": "given as the cell of 0.1 degree",
        "county": "given as the county's name alone",
        "withheld": "not given at all",
    },
)

PERMISSION_BASIS = Words(
    "basis of a permission",
    "ours",
    {
        "owner's consent": "the owner or manager said yes",
        "permit": "a written permit",
        "public right": "a right of public access that covers gathering",
        "closed": "gathering is not allowed",
        "not asked": "nobody was asked yet",
    },
)

HOW_KNOWN = Words(
    "how a host is known",
    "ours",
    {
        "seen by her": "she named the tree herself",
        "label": "a label or register names it",
        "map": "a map names it",
        "told": "somebody told her",
        "inferred": "the only tree of its kind in reach",
        "not known": "nobody has named it",
    },
)

TREE_CONDITION = Words(
    "condition of a tree",
    "ours",
    {
        "sound": "no sign of decay seen",
        "dieback": "dead branches in the crown",
        "decayed": "decay in trunk or root seen",
        "dead standing": "dead, still upright",
        "fallen": "lies on the ground",
        "stump": "cut or broken to a stump",
        "taken away": "felled or fallen, and its wood cleared away",
    },
)

VISIT_REASON = Words(
    "why a visit was made",
    "ours",
    {
        "planned": "she set out to look here",
        "passing": "she came by and looked, whatever she saw",
        "seen first": "she saw a fungus and stopped for it",
        "told": "somebody told her of a find here",
    },
)

COUNTING_REASONS: tuple[str, ...] = ("planned", "passing")
"""Reasons whose looks enter a rate; the other two were made because something was there."""

FORAY_MODE = Words(
    "way of getting about",
    "ours",
    {
        "foot": "on foot all the way",
        "bicycle": "by bicycle where the ways allow it",
        "car": "by car to a parking place, then on foot",
    },
)

STOP_PURPOSE = Words(
    "purpose of a stop",
    "ours",
    {
        "gather": "to look, and to take what is wanted",
        "look only": "to look and note, and to take nothing",
    },
)

LOOK_OUTCOME = Words(
    "what a look found",
    "ours",
    {
        "found": "at least one fresh fruit body",
        "not seen": "looked, none seen",
        "only remains": "old or rotten remains only",
    },
)

SUBSTRATE = Words(
    "substrate",
    "ours; given as habitat in Darwin Core",
    {
        "soil": "mineral soil or humus",
        "lawn": "mown grass",
        "grassland": "grazed or unmown grass",
        "litter": "leaves or needles",
        "moss": "moss cushion",
        "living wood": "living tree",
        "dead wood": "dead trunk, branch or stump",
        "buried wood": "roots or wood below ground",
        "wood chip": "chip or mulch made on the spot",
        "imported chip": "chip or mulch of unknown origin",
        "treated wood": "sleepers, poles, decks, painted timber",
        "dung": "dung",
        "compost": "compost or manured bed",
        "made ground": "fill, rubble, ash",
        "burnt ground": "an old fire",
        "other fungus": "another fruit body",
    },
)

GROWTH_STAGE = Words(
    "growth stage",
    "ours; given as lifeStage in Darwin Core",
    {
        "primordium": "pins, not yet formed",
        "young": "button or unopened",
        "mature": "open, fresh",
        "old": "overripe or rotting",
        "dried": "dried on the spot",
        "mixed": "several stages together",
    },
)

COUNT_OF = Words(
    "what was counted",
    "ours; given as organismQuantityType in Darwin Core",
    {
        "bodies": "single fruit bodies",
        "clusters": "tufts grown together",
        "brackets": "brackets on wood",
        "patch": "a patch, not counted singly",
    },
)

POSITION_SOURCE = Words(
    "where a position comes from",
    "ours",
    {
        "gpx": "a satellite receiver's waypoint",
        "photo": "a photo's own position",
        "phone": "the position a telephone gave when the entry was made",
        "track": "a recorded track, at the instant of a photo",
        "map": "tapped or read off a map",
        "typed": "typed as numbers",
        "site": "the site's own position stands in",
        "not known": "nobody noted it",
    },
)

FIND_HOST_ROLE = Words(
    "what a plant is to a find",
    "ours; given as associatedTaxa in Darwin Core",
    {
        "nearest": "the nearest tree of the kind",
        "under": "below its crown",
        "on": "grows on its wood",
        "possible": "one of several it could belong to",
    },
)

QUALIFIER = Words(
    "name qualifier",
    "open nomenclature; identificationQualifier in Darwin Core",
    {
        "cf.": "compares with, not certain",
        "aff.": "near to, but not this",
        "group": "one of a group of species (agg.)",
        "?": "doubtful",
        "sp.": "genus only",
    },
)

VERIFICATION_LEVEL = Words(
    "verification level of a determination",
    "HISPID/ABCD verification level 0 to 4 (memory)",
    {
        "0": "not checked",
        "1": "compared with other named specimens",
        "2": "determined by a competent person with literature",
        "3": "determined by a specialist of the group",
        "4": "type material",
    },
)

TAXON_RANK = Words(
    "rank",
    "International Code of Nomenclature for algae, fungi, and plants",
    {
        "kingdom": "kingdom",
        "family": "family",
        "genus": "genus",
        "section": "section",
        "species": "species",
        "subspecies": "subspecies",
        "variety": "variety",
        "form": "form",
    },
)

KINGDOM = Words("kingdom", "Darwin Core kingdom", {"Fungi": "fungi", "Plantae": "plants, hosts among them"})

MARK = Words(
    "mark of a value",
    "ours",
    {
        "confirmed": "read in the source named",
        "secondary": "read where another work quotes the source",
        "computed": "by arithmetic from confirmed values",
        "common practice": "used in the trade, no source",
        "our choice": "set by this project",
        "memory": "not confirmed in any source",
    },
)

HAZARD_ORIGIN = Words(
    "where a hazard is known from",
    "ours",
    {"extract": "a map extract", "told": "somebody told her", "seen": "she saw it"},
)

HAZARD_STANDING = Words(
    "how firm a hazard is",
    "ours",
    {
        "confirmed": "a document or a test shows it",
        "told": "one person's word, or a map tag alone",
        "suspected": "nobody has said so, the signs point that way",
    },
)

COUNT_DIRECTIONS = Words(
    "which traffic a count holds",
    "ours",
    {"both": "both directions together", "one": "one direction only"},
)

LIMIT_UNIT = Words(
    "unit of a gathering limit", "ours", {"kg": "kilograms", "l": "litres", "bodies": "fruit bodies"}
)

DANGER = Words(
    "what a look-alike can do",
    "ours",
    {
        "deadly": "deaths are known",
        "poisonous": "poisoning is known",
        "conditional": "poisonous in some circumstance, as with alcohol",
        "unpleasant": "bitter or upsetting",
    },
)

DECISION = Words(
    "which of two values stands",
    "ours",
    {"ours": "the value in the book", "theirs": "the value that came in"},
)

SPRAYING_STATE = Words(
    "state of a spraying",
    "ours",
    {
        "done": "it was brought out",
        "planned": "it will be brought out",
        "never": "somebody says that this ground was never sprayed",
        "not known": "nobody could say",
    },
)

SPRAYING_METHOD = Words(
    "how a spray was brought out",
    "ours",
    {
        "boom": "boom sprayer",
        "knapsack": "hand-held or knapsack sprayer",
        "blower": "air-assisted sprayer in trees or vines",
        "granules": "spread dry",
        "trunk injection": "put into the trunk",
        "railway": "weed-control train",
        "aerial": "from the air",
    },
)

DRIFT_GROUP = Words(
    "crop group of a drift curve",
    "FOCUS surface water scenarios, appendix B, with the railway column of the JKI table",
    {
        "arable_below_50cm": "plants below 50 cm, lawns among them",
        "vines_late_or_above_50cm": "vines in leaf, hand-sprayed shrubs above 50 cm",
        "vines_early": "vines before leaf",
        "fruit_late": "fruit trees in leaf",
        "fruit_early": "fruit trees before leaf",
        "hops": "hops",
        "aerial": "from the air",
        "railway": "weed control on tracks",
    },
)

RATE_UNIT = Words(
    "unit of a spraying rate",
    "ours",
    {
        "g/ha": "grams a hectare",
        "kg/ha": "kilograms a hectare",
        "ml/ha": "millilitres a hectare",
        "g/tree": "grams a tree",
    },
)

TESTED_MATERIAL = Words(
    "material tested",
    "ours",
    {"soil": "soil", "mushroom": "fruit bodies", "plant": "leaves or fruit", "dust": "dust or deposit"},
)

RESULT_UNIT = Words(
    "unit of a laboratory result",
    "SI",
    {
        "mg/kg": "milligrams a kilogram",
        "ug/kg": "micrograms a kilogram",
        "Bq/kg": "becquerels a kilogram",
        "ng/kg": "nanograms a kilogram",
    },
)

BASIS = Words("basis of a result", "ours", {"fresh": "fresh mass", "dry": "dry mass"})
