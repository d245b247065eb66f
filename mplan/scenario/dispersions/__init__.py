"""How what a mission is made of scatters: the table [dispersions]."""
