"""The papers for the client: report, bill, warranty, with their cautions.

In: what `reckon.client`, `reckon.money` and `reckon.warranty` calculated. Out: blocks and data in words for a person
who knows no electronics. Called by `report`, `bill` and `warranty`.
"""
