"""Plan: what hands and machines do next."""
