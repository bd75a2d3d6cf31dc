"""What alerts say when they are sent: looked up anew, so that nothing untrue is said."""
