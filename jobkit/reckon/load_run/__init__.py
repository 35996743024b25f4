"""Load runs: what the log of a loaded run shows, checked against its limits and compared with another run.

In: a log as columns of numbers over time, the limits of the trial, the temperature of the room. Out: for each sensor
whether it settled and at what, its hottest value, drift, time constant and °C per watt; dips, errors, verdicts.
Called by the command `load`, the rules about trials, the release list, the papers and the usual of a design.
"""
