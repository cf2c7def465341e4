"""Words and unit spellings that loggers print, in three languages. All names are invented."""

TIME = {"en": ["time", "Time", "Elapsed time", "t"], "de": ["Zeit", "Messzeit"], "fr": ["Temps", "Durée"]}
CLOCK = {"en": ["Clock", "Time of day"], "de": ["Uhrzeit"], "fr": ["Heure"]}
STAMP = {"en": ["Timestamp", "Date and time"], "de": ["Zeitstempel", "Datum Uhrzeit"], "fr": ["Horodatage"]}
QUANTITY = {
    "torque": {"en": ["torque", "Torque", "Torque CH1"], "de": ["Drehmoment", "Moment"], "fr": ["Couple"]},
    "tension": {
        "en": ["Bolt tension", "Clamp force", "tension"],
        "de": ["Vorspannkraft", "Schraubenkraft"],
        "fr": ["Précharge", "Effort de serrage"],
    },
    "angle": {"en": ["Angle", "angle"], "de": ["Drehwinkel", "Winkel"], "fr": ["Angle"]},
    # In French the voltage is called "Tension".
    "voltage": {"en": ["Voltage", "Pack voltage"], "de": ["Spannung", "Akkuspannung"], "fr": ["Tension"]},
    "current": {"en": ["Current", "Pack current"], "de": ["Strom"], "fr": ["Courant", "Intensité"]},
}
EXTRA = {
    "index": {"en": ["No", "Index"], "de": ["Nr", "Lfd"], "fr": ["No", "Rang"]},
    "status": {"en": ["Status"], "de": ["Zustand"], "fr": ["État"]},
    "room": {"en": ["Room temp. [°C]"], "de": ["Raumtemperatur [°C]"], "fr": ["Température [°C]"]},
}
# Spellings found in a header or a units row. Those in UNUSUAL are printed only
# where the logger block states the unit as well.
SPELLINGS = {
    "N·m": ["Nm", "N·m", "N.m"],
    "lbf·ft": ["lbf-ft", "lbf·ft", "ft-lb", "ft·lbf", "lb-ft"],
    "kN": ["kN"],
    "s": ["s", "sec"],
    "ms": ["ms"],
    "deg": ["deg", "°"],
    "V": ["V"],
    "A": ["A"],
    "mV": ["mV"],
    "mA": ["mA"],
}
UNUSUAL = {"s": ["Sek"], "deg": ["Grad"], "N·m": ["newton-metre"]}
# After an underscore only letters.
PLAIN = {"N·m": "Nm", "lbf·ft": "lbfft", "kN": "kN", "s": "s", "ms": "ms", "deg": "deg", "V": "V", "A": "A", "mV": "mV", "mA": "mA"}
HEADER_STYLES = ["{name} [{unit}]", "{name} ({unit})", "{name}_{unit}", "{name} {unit}"]
QUOTED_STYLE = "{name}, {unit}"

FOOTER = {"en": ["Max", "Min", "Mean"], "de": ["Max", "Min", "Mittel"], "fr": ["Max", "Min", "Moyenne"]}

# Preamble lines: label and value, joined by the delimiter or by a colon.
PREAMBLE = {
    "en": [
        ("Bolt rig recorder", "unit 4"),
        ("Recorded", "{date} {clock}"),
        ("Operator", "{operator}"),
        ("Room", "{ambient} °C"),
        ("Sample rate", "{rate} Hz"),
        ("Channels", "{channels}"),
        ("Firmware", "0.9.{firmware}"),
    ],
    "de": [
        ("Prüfstand", "Schraubprüfstand Gerät 4"),
        ("Prüfer", "{operator}"),
        ("Aufnahme", "{german_date} {clock}"),
        ("Umgebung", "{ambient} °C"),
        ("Abtastrate", "{rate} Hz"),
        ("Kanäle", "{channels}"),
        ("Gerätestand", "0.9.{firmware}"),
    ],
    "fr": [
        ("Banc d'essai", "appareil 4"),
        ("Opérateur", "{operator}"),
        ("Enregistré", "{french_date} {clock}"),
        ("Température ambiante", "{ambient} °C"),
        ("Fréquence", "{rate} Hz"),
        ("Voies", "{channels}"),
        ("Micrologiciel", "0.9.{firmware}"),
    ],
}
REMARK = {"en": ("Remark", "bolt renewed"), "de": ("Bemerkung", "Schraube erneuert"), "fr": ("Remarque", "boulon changé")}

MAKERS = ["Ollinbeck", "Tavrosk", "Hesperdal"]
MOUNTS = ["ollin-18", "tavro-18", "hesper-12"]
TOOL_NAMES = ["Ulmet", "Corvash", "Pelloth", "Drennick", "Ashgrol", "Teskel", "Wimblo", "Yarrot", "Kibbet", "Hulvar", "Sembric", "Gostrel"]
OPERATORS = ["K. Ahlmay", "R. Tossin", "E. Vandry"]
