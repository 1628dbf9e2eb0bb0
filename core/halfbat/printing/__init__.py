"""What printers can do, and what is made of a size so that they print it well."""
