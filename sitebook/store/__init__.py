"""The book on disk: one GeoPackage, rows in, records out."""
