"""The words that no text for users may have, and what to write instead (DEVELOPERS.md, "How we write")."""

INSTEAD: dict[str, str] = {
    r"nobody|somebody|anybody|whoever": "name the actor: you, the client, the technician",
    r"(?<!--)(?<!`)mend(s|ed|ing)?": "fix",
    r"reckon(s|ed|ing)?": "calculate",
    r"anew": "again",
    r"lies|lie(?= (in|on|below|beside|there|under)\b)": "is in, location",
    r"stands|stand(?= (in|on|at|there|beside|above|below)\b)|stood": "is, are",
    r"speaks?(?= of\b)": "mention, report",
    r"hangs? on": "depends on",
    r"(take|takes|taken|took|taking) back": "undo",
    r"(come|comes|came) to(?= (\{|[0-9]))": "is, are",
    r"(hold|holds|held) to": "check against",
    r"else (today|now|the|found)": "default: …",
    r"(?<!there )(?<!that )is no (?!more |longer |less )[a-z]+": "is not a …, unknown …",
    r"whence|wherein|thereof|whereof|hitherto|withal|alike": "say it plainly",
}
"""Patterns, each for whole words in any case."""
