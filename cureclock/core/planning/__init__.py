"""The plan: what hands and machines do next, so that the waits are used."""
