"""Words that benches usually type in bench.toml and in logs, so that our catalogues have them in their languages.

Whatever else is typed is shown as typed, unless a catalogue of the bench has it.
"""

from __future__ import annotations

from jobkit.units.phrase import phrase

USUAL_WORDS = (
    phrase("graphics card"),
    phrase("capture card"),
    phrase("network card"),
    phrase("sound card"),
    phrase("VAT"),
    phrase("tax"),
    phrase("picture"),
    phrase("load run"),
    phrase("memory test"),
    phrase("cold start"),
    phrase("warm restart"),
    phrase("final clean"),
    phrase("final inspection"),
    phrase("hot spot"),
    phrase("core"),
    phrase("fan"),
    phrase("host"),
    phrase("ambient"),
    phrase("supply"),
    phrase("driver"),
    phrase("parts and work"),
)
