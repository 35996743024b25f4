"""The search for suspects: network, evidence, next check."""
