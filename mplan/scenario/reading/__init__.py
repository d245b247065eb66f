"""The files of a scenario as they are read: text, tables, the line of every key."""
