"""The sidebar tab, one file for each step of the work."""
