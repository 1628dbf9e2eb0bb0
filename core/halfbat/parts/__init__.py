"""Parts of a kit: shell, skins, covers, lid, and their numbers."""
