"""The booklet: one page that says what the kit holds, what goes where, and how it is put together."""
