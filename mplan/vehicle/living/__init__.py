"""Living aboard: what people take and give off, and the account of it, element by element."""
