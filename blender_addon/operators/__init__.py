"""What the maker can do, one noun per file."""
