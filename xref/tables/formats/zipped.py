"""Which kind of document a ZIP file is."""

from __future__ import annotations

from xref.errors import Refused
from xref.tables.formats.archive import Archive
from xref.tables.formats.grid import GridSet
from xref.tables.formats.source import Source


def read_zipped(source: Source, sheet: str | None) -> GridSet:
    """Return the grids of an XLSX, XLSB or ODS workbook. Raises Refused for other archives."""
    archive = Archive(source)
    names = archive.names
    if "META-INF/manifest.xml" in archive and "content.xml" in archive:
        from xref.tables.formats.ods import read_ods

        return read_ods(archive, sheet)
    if any(name.endswith("xl/workbook.bin") for name in names):
        from xref.tables.formats.xls import read_without_styles

        return read_without_styles(source, "xlsb", sheet)
    if any(name.lower().endswith("workbook.xml") for name in names):
        from xref.tables.formats.xlsx import read_xlsx

        return read_xlsx(source, archive, sheet)
    if any(name.startswith("word/") for name in names):
        raise Refused(
            f"{source.label} is a word-processor document: copy its table into a spreadsheet."
        )
    if any(name.startswith("ppt/") for name in names):
        raise Refused(f"{source.label} is a presentation: copy its table into a spreadsheet.")
    raise Refused(f"{source.label} is a ZIP archive, not a workbook: unpack it first.")
