"""Radio links: what elements and ground stations send and receive with."""
