"""Writers: records in, bytes of one format out."""
