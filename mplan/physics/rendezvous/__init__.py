"""Rendezvous about the Moon, burn by burn."""
