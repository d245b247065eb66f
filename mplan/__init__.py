"""Plan a crewed Moon landing on paper, from lift-off to splashdown."""
