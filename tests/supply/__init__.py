"""What jobkit stands on: packages, their licences and oldest versions, and that nothing is asked of a network."""
