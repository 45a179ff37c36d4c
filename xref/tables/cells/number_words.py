"""Small numbers in words, as lists write quantities: plain dictionary words of each language."""

from __future__ import annotations

_LANGUAGES = (
    "one two three four five six seven eight nine ten eleven twelve",
    "ein zwei drei vier fünf sechs sieben acht neun zehn elf zwölf",
    "un deux trois quatre cinq six sept huit neuf dix onze douze",
    "uno due tre quattro cinque sei sette otto nove dieci undici dodici",
    "uno dos tres cuatro cinco seis siete ocho nueve diez",
    "een twee drie vier vijf zes zeven acht negen tien elf twaalf",
    "en två tre fyra fem sex sju åtta nio tio elva tolv",
    "um dois três quatro cinco seis sete oito nove dez",
    "jeden dwa trzy cztery pięć sześć siedem osiem dziewięć dziesięć",
    "jeden dva tři čtyři pět šest sedm osm devět deset",
)
COUNTS: dict[str, int] = {
    word: count for words in _LANGUAGES for count, word in enumerate(words.split(), start=1)
} | {
    **dict.fromkeys(("eine", "eins", "une", "una", "ett", "uma", "jedna", "één"), 1),
    **dict.fromkeys(("duas", "dwie", "dvě"), 2),
}
"""Words and what they count; `to` and `once`, which are English words too, are left out."""
