"""What people live on: their day, their walks, what a cabin holds and what is made for it."""
