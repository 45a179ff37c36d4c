"""Words that sound like a kind of part and name another: a grease cup, a bearing housing.

Plain trade and dictionary English, German and French; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence


def _set(words: str, by: str | None = None) -> frozenset[str]:
    return frozenset(word.strip() for word in words.split(by))


# Right behind the name of a kind these name what serves it or is made of it.
_HEADS = _set(
    """housing cap cage carrier retainer puller extractor driver installer remover tool kit pliers
    hammer heater press spanner wrench grease lubricant adhesive nut locknut bolt screw stud clip
    circlip clamp saddle strap bracket pedestal block scraper assortment gasket chain cord retaining
    cover holder seat fitting support guard grip pick protector splitter mount adjusting adjuster
    gehause deckel abzieher satz fett bock halter"""
) | {"lock nut", "lock plate", "set screw", "end cap", "end cover", "shell"}
_HEADS_OF = {
    "washer": _set(
        "pump jet bottle motor reservoir hose fluid nozzle tank dryer switch spring lock tab star "
        "crush wave shakeproof"
    ),
    "sleeve": _set("coupling yoke valve joint"),
    "cone": _set("clutch pulley brake wheel gear lock point filter speaker"),
    "cup": _set("brush holder head hook joint spring washer grease seal"),
    "seal": _set("wax wire bag tape wafer"),
    "bush": _set("chain knife hook saw cutter"),
    "bushing": _set("chain"),
    "shim": _set("stock steel"),
}

# Phrases that name another thing although their last word is the name of a kind.
_PHRASES = _set(
    """mechanical seal|face seal|valve seal|valve stem seal|stem seal|door seal
    |window seal|windscreen seal|rod seal|piston seal|wiper seal|felt seal|rope seal|bonded seal
    |lead seal|hydraulic seal|u cup|chevron seal|boot seal|tyre seal|air seal
    |spring washer|lock washer|locking washer|lockwasher|tab washer|star washer|crush washer
    |sealing washer|cup washer|shakeproof washer|wave washer|conical washer|disc spring washer
    |screen washer|windscreen washer|pressure washer|parts washer|bottle washer
    |cylinder sleeve|cable sleeve|insulating sleeve|shrink sleeve|liner sleeve|air sleeve
    |taper sleeve|adapter sleeve|wire sleeve|crimp sleeve|hose sleeve
    |rubber bush|rubber bushing|suspension bush|reducing bush|reducing bushing|reducer bush
    |drill bush|drill bushing|jig bush|hexagon bush|terminal bush|insulating bush|cable bush
    |rod end bearing|rail bearing|linear bearing
    |traffic cone|valve cone|flame cone|speaker cone|nose cone|exhaust cone
    |porte roulement|extracteur de roulement|support de roulement|graisse a roulement
    |estrattore per cuscinetti|supporto cuscinetto|soporte de rodamiento|extractor de rodamiento
    |bague de serrage|bague elastique|rondelle elastique|rondelle frein|rondelle grower
    |riemenscheibe|bremsscheibe|kupplungsscheibe|federscheibe|windschutzscheibe|frontscheibe
    |heckscheibe|seitenscheibe|sicherungsscheibe|keilriemenscheibe|schwungscheibe|fensterscheibe
    |laufbuchse|zylinderlaufbuchse|steckbuchse|zylinderbuchse|klinkenbuchse|spannbuchse
    |federring|sprengring|rondella elastica|arandela grower|fjaderbricka|federscheiben
    |riemenscheiben|bremsscheiben|kupplungsscheiben|sicherungsscheiben|laufbuchsen""",
    "|",
)
# Names that several kinds share: they decide nothing by themselves.
_UNDECIDED = ("seal ring", "sealing ring", "dichtring", "main bearing", "big end bearing",
              "con rod bearing", "conrod bearing", "crankshaft bearing", "end bearing")  # fmt: skip
_OF_BEARINGS = _set(
    """bearing bearings taper tapered roller rollers race inner outer wheel hub pinion differential
    front rear left right lh rh upper lower axle gearbox single double cup cone cups cones ball new
    nos used only the and"""
)


def names_other(words: Sequence[str]) -> bool:
    """Whether the words of a part's name hold a phrase that names no kind of part."""
    return any(
        phrase in _PHRASES or phrase.removesuffix("s") in _PHRASES
        for length in (1, 2, 3)
        for start in range(len(words) - length + 1)
        for phrase in (" ".join(words[start : start + length]),)
    )


def makes_other(name: str, behind: Sequence[str]) -> bool:
    """Whether what stands right behind the name of a kind makes it another thing."""
    if not behind:
        return False
    first = behind[0]
    last = name.rpartition(" ")[2].removesuffix("s")
    heads = _HEADS | _HEADS_OF.get(last, frozenset())
    pair = " ".join(behind[:2])
    return first in heads or first.removesuffix("s") in heads or pair in heads


def no_ring(words: Sequence[str]) -> bool:
    """Whether words around cup or cone tell of another thing than a bearing's ring."""
    return not all(word in _OF_BEARINGS or any(map(str.isdigit, word)) for word in words)


def undecided(name: str, words: Sequence[str]) -> bool:
    """Whether a name decides nothing here: `seal` in `seal ring`."""
    text = f" {' '.join(words)} "
    return any(
        f" {phrase} " in text or f" {phrase}s " in text
        for phrase in _UNDECIDED
        if name in phrase.split() or name == phrase
    )
