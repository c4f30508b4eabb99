"""How each demo plan was made: the arguments of ``retrofit new`` behind its file name."""

from __future__ import annotations

from typing import Any

TWELVE_VOLTS = ["--supply", "13.5 V", "--supply-low", "11 V", "--supply-high", "14.4 V"]

DEMOS: dict[str, list[str]] = {
    "harbour-launch.json": [
        *("--sender", "temperature-450-15-300f"),
        *("--gauge", "gauge-temperature-291-22-120c-ratio-12v"),
        *("--name", "Harbour launch, coolant"),
        *("--medium", "coolant", "--controller", "no", "--allowed", "3.5 °C", *TWELVE_VOLTS),
        *("--sender-earth", "0.2 Ω", "--afloat", "yes"),
        *("--tolerance", "5 %", "--dial-error", "2 %", "--needle-width", "0.5 %"),
        *("--mark", "alarm=98 °C:flatters=low"),
        *("--mark", "thermostat=82 °C:flatters=low"),
        *("--mark", "warm=60 °C:flatters=low"),
        *(
            "--notes",
            "The only sender to be had is made for another dial and for another thread. With an "
            "adapter it goes in, it moves the needle the right way, and at the alarm it shows a "
            "temperature that worries nobody.",
        ),
    ],
    "standby-generator.json": [
        *("--sender", "pressure-10bar-10-184"),
        *("--gauge", "gauge-pressure-10bar-10-184-ratio-24v"),
        *("--name", "Standby generator, oil pressure"),
        *("--medium", "oil", "--allowed", "0.4 bar"),
        *("--supply", "27 V", "--supply-low", "22 V", "--supply-high", "29 V", "--afloat", "no"),
        *("--mark", "alarm at idle=1.2 bar:flatters=high:allowed=0.2 bar"),
        *("--mark", "working=4 bar:flatters=high"),
        *("--mark", "relief valve=6 bar:flatters=high"),
        *(
            "--notes",
            "Sender and gauge are of one class, so the needle reads true at rest on the bench. "
            "What the charging set's higher volts do to it, and whether the engine controller "
            "hangs on the same sender, nobody has looked at: unknown is not good.",
        ),
    ],
    "vineyard-tractor.json": [
        *("--sender", "level-73-10-mid-23"),
        *("--gauge", "gauge-level-240-33-ratio-12v"),
        *("--name", "Vineyard tractor, diesel"),
        *("--medium", "diesel", "--controller", "no", "--allowed", "8 %", "--capacity", "60 L"),
        *(*TWELVE_VOLTS, "--afloat", "no"),
        *("--mark", "reserve=12 %:flatters=high"),
        *(
            "--notes",
            "The old tank unit on a gauge from the parts shelf: both fall from empty to full, "
            "yet an all but empty tank reads more than half full, and no resistor between the "
            "two can mend a span that is too narrow.",
        ),
    ],
}

INVENTED = "assumed: invented for this demo"

FITTED: dict[str, dict[str, Any]] = {
    "harbour-launch.json": {
        "duty": {
            "highest_pressure": "1.1 bar",
            "highest_temperature": "115 °C",
            "point": "thermostat housing",
        },
        "fitting": {
            "thread": "1/8-27 NPT",
            "thread_length": "10 mm",
            "terminals": 1,
            "max_pressure": "7 bar",
            "coldest": "-30 °C",
            "hottest": "150 °C",
            "media": ["oil", "coolant", "water"],
            "probe": "30 mm",
            "probe_diameter": "4 mm",
            "body_length": "32 mm",
            "body_mass_grams": 55.0,
            "basis": INVENTED,
        },
        "fit": {
            "port": {
                "thread": "M10x1",
                "depth": "12 mm",
                "wall": "12 mm",
                "mounted_at": "thermostat housing",
                "highest_point": "no",
                "coldest": "-10 °C",
                "basis": INVENTED,
            },
            "seals": ["crush washer", "compound"],
            "adapter_thread": "8 mm",
            "isolated": "no",
        },
    },
}
"""What was added to a demo in the steps Duty and Fit: fields of the duty, sender, pairing."""


def fitted(name: str, document: dict[str, Any]) -> dict[str, Any]:
    """A plan file with what was added to it; all of it at the end of its record."""
    added = FITTED.get(name)
    if added is not None:
        document["plan"]["duty"].update(added["duty"])
        (pairing,) = document["plan"]["pairings"]
        pairing["sender"]["fitting"] = added["fitting"]
        pairing["fit"] = added["fit"]
    return document
