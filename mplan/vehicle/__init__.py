"""Elements, tanks, engines, the stack and the ledger of mass."""
