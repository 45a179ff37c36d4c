"""The bore that a rolling bearing's designation states (ISO 15 / DIN 623-1, from memory).

The last two digits are the bore code: 00, 01, 02, 03 are 10, 12, 15, 17 mm, from 04 five times
the code; after a stroke stands the bore itself (60/22); with a single digit behind the series
(605, 618/8) the digit is the bore. Only series of the standard are read, so that a maker's own
number of five figures is not mistaken for one.
"""

from __future__ import annotations

import re

# Width and diameter series with their type of bearing, as DIN 623-1 forms designations.
_BALL = "60|62|63|64|160|617|618|619|622|623|42|43|12|13|22|23|70|72|73|32|33|52|53|718|719"
_ROLLER = "302|303|313|320|322|323|329|330|331|332|213|222|223|230|231|232|238|239|240|241|248|249"
_THRUST = "511|512|513|514|522|523|524|532|533|534|292|293|294|811|812|893|894"
_CYLINDRICAL = r"(?:NUP|NU|NJ|NF|NN|NCF|N)\s?(?:2|3|4|10|18|19|22|23|29|30|49)"
_SERIES = rf"(?P<series>{_ROLLER}|{_THRUST}|{_BALL}|{_CYLINDRICAL})"
_SUFFIX = r"(?:$|[-\s./]?[A-Z].*$|-?2[RZ].*$)"
_BY_CODE = re.compile(rf"^{_SERIES}(?P<code>\d\d)(?P<tail>{_SUFFIX})")
_BY_STROKE = re.compile(rf"^{_SERIES}\s?/\s?(?P<bore>\d{{1,4}}(?:[.,]5)?)(?P<tail>{_SUFFIX})")
_BY_DIGIT = re.compile(
    rf"^(?P<series>60|62|63|618|619|70|72|12|13)(?P<bore>[1-9])(?P<tail>{_SUFFIX})"
)
_FIRST_CODES = {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}
# Thrust bearings and needle series aside, codes end at 96: 480 mm; larger bores take the stroke.
_LAST_CODE = 96


def bore_mm(designation: str) -> float | None:
    """Return the bore [mm] that a basic designation states, or None if it is none."""
    text = " ".join(designation.upper().split())
    if found := _BY_STROKE.match(text):
        return float(found["bore"].replace(",", "."))
    if found := _BY_CODE.match(text):
        code = found["code"]
        if code in _FIRST_CODES:
            return _FIRST_CODES[code]
        return 5.0 * int(code) if int(code) <= _LAST_CODE else None
    if found := _BY_DIGIT.match(text):
        return float(found["bore"])
    return None
