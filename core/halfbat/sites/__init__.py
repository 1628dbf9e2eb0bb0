"""Where on a building a thing stands that the maker holds: an opening, a seam, a pipe."""
