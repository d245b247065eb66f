"""Ships launched on their own: flown first, brought forward to where they are met, and joined."""
