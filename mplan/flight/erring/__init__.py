"""Flights that err: what they meet, and how a plan is flown so."""
