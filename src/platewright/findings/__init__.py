"""What is wrong or risky about a bracket; each rule with its source."""
