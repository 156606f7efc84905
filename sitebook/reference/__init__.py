"""The cited tables of numbers and names, with one reader."""
