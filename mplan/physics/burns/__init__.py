"""What burns of real thrust take and lose."""
