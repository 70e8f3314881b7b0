"""Writes the spreadsheets beside this file and what their cells must read as (cells.tsv).

    pip install openpyxl==3.1.5 XlsxWriter==3.3.1 odfpy==1.4.1 ezodf==0.3.2 lxml==6.1.3 python-calamine==0.9.1
    python make.py

Each value is written by the named library. What it must read as comes from the value itself, by Python's
shortest `repr` and by exact decimal arithmetic; python-calamine reads the files a second time and must
find the same values.
"""

import datetime
import pathlib
import random
import struct
from decimal import Decimal

import ezodf
import odf.number
import odf.style
import odf.table
import odf.text
import openpyxl
import xlsxwriter
from odf.opendocument import OpenDocumentSpreadsheet
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.styles import NamedStyle
from openpyxl.utils import get_column_letter
from python_calamine import CalamineWorkbook

expected = []  # file, sheet, cell, flaw, text
values = {}  # (file, sheet, row, column) to what the second reader must find


def decimal_text(number):
    """Plain digits, or an exponent where the first digit stands beyond 1e-7..1e20."""
    if number == 0:
        return "-0" if number.is_signed() else "0"
    exponent = number.adjusted()
    if -7 <= exponent <= 20:
        text = format(number, "f")
        return text.rstrip("0").rstrip(".") if "." in text else text
    digits = "".join(map(str, number.as_tuple().digits)).rstrip("0")
    sign = "-" if number.is_signed() else ""
    return sign + digits[0] + ("." + digits[1:] if digits[1:] else "") + f"e{exponent}"


def plain(value):
    return decimal_text(Decimal(repr(float(value))))


def percent(value):
    return decimal_text(Decimal(repr(float(value))).scaleb(2)) + "%"


def note(file, sheet, row, column, text, flaw="", value=None):
    """Rows and columns count from 1."""
    cell = f"{get_column_letter(column)}{row}"
    text = text.replace("\\", "\\\\").replace("\n", "\\n").replace("\t", "\\t").replace("\r", "\\r")
    expected.append((file, sheet, cell, flaw, text))
    if value is not None:
        values[file, sheet, row, column] = value


def numbers(count):
    """Doubles of all sizes, of the sizes of measurements, and known troublemakers."""
    source = random.Random(20240301)
    found = [0.1 + 0.2, 1 / 3, 0.07, 0.29, 0.57, 1.1, 2.675, 1e-7, 5e-324, 1.7976931348623157e308, 9007199254740993.0,
             123456789012345680.0, 1e21, 1e22, 2.2250738585072014e-308, 0.0, 100.0, -12.5, 4.35, 0.000123456789]
    while len(found) < count:
        bits = struct.unpack("<d", source.getrandbits(64).to_bytes(8, "little"))[0]
        if bits == bits and abs(bits) != float("inf"):
            found.append(bits)
        found.append(source.uniform(-1, 1))
        found.append(round(source.uniform(0, 500), source.randrange(6)))
    return found[:count]


def sixteen(value):
    """Two of the libraries write 16 significant digits; what those stand for is what must be read."""
    rounded = float(f"{value:.16G}")
    return 0.5 if rounded == float("inf") else rounded


TEXTS = ["force", " two  spaces ", "a\nb", "tab\there", "5%", "1,5", "<&>\"'", "\u00e9\u00df\u20ac\U0001f600", "_x0041_", "=text"]


def with_openpyxl():
    file = "openpyxl.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Numbers"
    style = NamedStyle(name="part", number_format="0.0%")
    for row, value in enumerate(numbers(120), 1):
        value = sixteen(value)
        sheet.cell(row, 1, value)
        note(file, "Numbers", row, 1, plain(value), value=value)
        cell = sheet.cell(row, 2, value)
        cell.number_format = ["0%", "0.00%", "#,##0.0 %", "[Red]0.000%"][row % 4]
        note(file, "Numbers", row, 2, percent(value), value=value)
        cell = sheet.cell(row, 4, value)
        cell.number_format = ["General", "0.00", '0.0"%"', "0\\%", "#,##0", "0.00E+00"][row % 6]
        note(file, "Numbers", row, 4, plain(value), value=value)
        cell = sheet.cell(row, 5, value)
        cell.style = style
        note(file, "Numbers", row, 5, percent(value), value=value)
    other = book.create_sheet("Kinds")
    for row, text in enumerate(TEXTS, 1):
        cell = other.cell(row, 1, text)
        cell.data_type = "s"
        # openpyxl does not escape what looks like an escape, so it stands for a character.
        note(file, "Kinds", row, 1, "A" if text == "_x0041_" else text)
    for row, (value, text) in enumerate([(True, "TRUE"), (False, "FALSE")], 1):
        other.cell(row, 2, value)
        note(file, "Kinds", row, 2, text, value=value)
    other["C1"] = "=SUM(A1:A3)*2"
    note(file, "Kinds", 1, 3, "=SUM(A1:A3)*2", "formula")
    other["C2"] = "#DIV/0!"
    note(file, "Kinds", 2, 3, "#DIV/0!", "error")
    other["D1"] = datetime.datetime(2024, 3, 1)
    note(file, "Kinds", 1, 4, "2024-03-01", "date")
    other["D2"] = datetime.datetime(1999, 12, 31, 23, 59, 30)
    note(file, "Kinds", 2, 4, "1999-12-31T23:59:30", "date")
    other["D3"] = datetime.time(6, 30)
    note(file, "Kinds", 3, 4, "06:30:00", "date")
    other["D4"] = datetime.timedelta(hours=36, minutes=5)
    note(file, "Kinds", 4, 4, "PT36H5M0S", "date")
    other["E1"] = CellRichText("rich ", TextBlock(InlineFont(b=True), "text"), " runs")
    note(file, "Kinds", 1, 5, "rich text runs")
    other["F2"] = 7
    other.merge_cells("F2:G4")
    for row in range(2, 5):
        for column in (6, 7):
            note(file, "Kinds", row, column, "7" if (row, column) == (2, 6) else "", "merged")
    other["H40"] = 1
    note(file, "Kinds", 40, 8, "1")
    hidden = book.create_sheet("Hidden", 0)
    hidden.sheet_state = "hidden"
    hidden["A1"] = 3
    note(file, "Hidden", 1, 1, "3")
    book.active = 1
    book.save(file)


def with_xlsxwriter():
    for file, options in [
        ("xlsxwriter.xlsx", {}),
        ("xlsxwriter-inline.xlsx", {"constant_memory": True, "date_1904": True}),
    ]:
        book = xlsxwriter.Workbook(file, options)
        sheet = book.add_worksheet("Run 1")
        part = book.add_format({"num_format": "0.0%"})
        mixed = book.add_format({"num_format": "0.0%;-0.0;0"})
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        for row, value in enumerate(numbers(60), 1):
            value = sixteen(value)
            sheet.write_number(row - 1, 0, value)
            note(file, "Run 1", row, 1, plain(value), value=value)
            sheet.write_number(row - 1, 1, value, part)
            note(file, "Run 1", row, 2, percent(value), value=value)
            sheet.write_number(row - 1, 2, value, mixed)
            note(file, "Run 1", row, 3, percent(value) if value > 0 else plain(value), value=value)
            if row <= len(TEXTS):
                text = TEXTS[row - 1]
                sheet.write_string(row - 1, 3, text)
                note(file, "Run 1", row, 4, text)
            if row == 1:
                sheet.write_formula(0, 4, "=1/8", part, 0.125)
                note(file, "Run 1", 1, 5, "12.5%", value=0.125)
                sheet.write_formula(0, 5, '="a"&"b"', None, "ab")
                note(file, "Run 1", 1, 6, "ab", value="ab")
                sheet.write_formula(0, 6, "=1/0", None, "#DIV/0!")
                note(file, "Run 1", 1, 7, "#DIV/0!", "error")
                sheet.write_boolean(0, 7, True)
                note(file, "Run 1", 1, 8, "TRUE", value=True)
                sheet.write_datetime(0, 8, datetime.datetime(2024, 2, 29), day)
                note(file, "Run 1", 1, 9, "2024-02-29", "date")
        sheet.write_string(199, 0, "far")
        note(file, "Run 1", 200, 1, "far", value="far")
        book.close()


def with_odfpy():
    file = "odfpy.ods"
    book = OpenDocumentSpreadsheet()
    data = odf.number.PercentageStyle(name="P1")
    data.addElement(odf.number.Number(decimalplaces="1", minintegerdigits="1"))
    data.addElement(odf.number.Text(text="%"))
    book.automaticstyles.addElement(data)
    part = odf.style.Style(name="part", family="table-cell", datastylename=data)
    book.automaticstyles.addElement(part)
    away = odf.style.Style(name="away", family="table")
    away.addElement(odf.style.TableProperties(display="false"))
    book.automaticstyles.addElement(away)

    def add(row, **attributes):
        text = attributes.pop("text", None)
        cell = attributes.pop("kind", odf.table.TableCell)(**attributes)
        for line in [] if text is None else [text]:
            cell.addElement(odf.text.P(text=line))
        row.addElement(cell)

    hidden = odf.table.Table(name="Away", stylename=away)
    row = odf.table.TableRow()
    add(row, valuetype="float", value="1")
    hidden.addElement(row)
    book.spreadsheet.addElement(hidden)
    note(file, "Away", 1, 1, "1")

    sheet = odf.table.Table(name="Numbers")
    sheet.addElement(odf.table.TableColumn(numbercolumnsrepeated=3))
    sheet.addElement(odf.table.TableColumn(defaultcellstylename=part))
    for number, value in enumerate(numbers(60), 1):
        row = odf.table.TableRow()
        add(row, valuetype="float", value=repr(value), text=f"{value:.1f}")
        note(file, "Numbers", number, 1, plain(value), value=value)
        add(row, valuetype="percentage", value=repr(value), text=f"{value:.0%}")
        note(file, "Numbers", number, 2, percent(value), value=value)
        add(row, valuetype="float", value=repr(value), stylename=part)
        note(file, "Numbers", number, 3, percent(value), value=value)
        add(row, valuetype="float", value=repr(value))
        note(file, "Numbers", number, 4, percent(value), value=value)
        sheet.addElement(row)
    book.spreadsheet.addElement(sheet)

    sheet = odf.table.Table(name="Kinds")
    row = odf.table.TableRow()
    add(row, valuetype="string", text="force")
    note(file, "Kinds", 1, 1, "force")
    add(row, valuetype="boolean", booleanvalue="true", text="TRUE")
    note(file, "Kinds", 1, 2, "TRUE", value=True)
    add(row, valuetype="date", datevalue="2024-03-01", text="1 March")
    note(file, "Kinds", 1, 3, "2024-03-01", "date")
    add(row, valuetype="time", timevalue="PT06H30M00S", text="6:30")
    note(file, "Kinds", 1, 4, "PT06H30M00S", "date")
    add(row, formula="of:=[.A1]*2")
    note(file, "Kinds", 1, 5, "=[.A1]*2", "formula")
    add(row, formula="of:=1/8", valuetype="float", value="0.125", text="0.1")
    note(file, "Kinds", 1, 6, "0.125", value=0.125)
    sheet.addElement(row)
    sheet.addElement(odf.table.TableRow(numberrowsrepeated=1000))
    row = odf.table.TableRow(numberrowsrepeated=2)
    add(row, numbercolumnsrepeated=2)
    add(row, numbercolumnsrepeated=2, valuetype="float", value="7", text="7")
    sheet.addElement(row)
    for number in (1002, 1003):
        for column in (3, 4):
            note(file, "Kinds", number, column, "7")
    row = odf.table.TableRow()
    add(row, numbercolumnsspanned=2, numberrowsspanned=1, valuetype="string", text="title")
    add(row, kind=odf.table.CoveredTableCell)
    add(row, valuetype="string", text="x")
    sheet.addElement(row)
    note(file, "Kinds", 1004, 1, "title", "merged")
    note(file, "Kinds", 1004, 2, "", "merged")
    note(file, "Kinds", 1004, 3, "x")
    row = odf.table.TableRow(numberrowsrepeated=1047572)
    add(row, numbercolumnsrepeated=16384)
    sheet.addElement(row)
    book.spreadsheet.addElement(sheet)
    book.save(file)


def with_ezodf():
    file = "ezodf.ods"
    # It keeps what it writes over.
    pathlib.Path(file).unlink(missing_ok=True)
    book = ezodf.newdoc(doctype="ods", filename=file)
    sheet = ezodf.Sheet("Run", size=(70, 6))
    book.sheets += sheet
    for row, value in enumerate(numbers(60), 1):
        sheet[row - 1, 0].set_value(value)
        note(file, "Run", row, 1, plain(value), value=value)
        sheet[row - 1, 1].set_value(value, "percentage")
        note(file, "Run", row, 2, percent(value), value=value)
        sheet[row - 1, 2].set_value(value, "currency", "EUR")
        note(file, "Run", row, 3, plain(value), value=value)
    for row, text in enumerate(TEXTS, 1):
        sheet[row - 1, 3].set_value(text)
        # It writes a leading space as a character, and there OpenDocument gives characters no meaning.
        note(file, "Run", row, 4, text.lstrip(" "))
    sheet[0, 4].set_value(True)
    note(file, "Run", 1, 5, "TRUE")
    sheet[1, 4].set_value("2024-03-01", "date")
    note(file, "Run", 2, 5, "2024-03-01", "date")
    sheet[65, 5].set_value("far")
    note(file, "Run", 66, 6, "far")
    book.save()


def read_again():
    books = {}
    for (file, sheet, row, column), value in values.items():
        if (file, sheet) not in books:
            books[file, sheet] = CalamineWorkbook.from_path(file).get_sheet_by_name(sheet).to_python(skip_empty_area=False)
        found = books[file, sheet][row - 1][column - 1]
        assert found == value and type(found) in (type(value), int, float), (file, sheet, row, column, value, found)


with_openpyxl()
with_xlsxwriter()
with_odfpy()
with_ezodf()
read_again()
with open("cells.tsv", "w", encoding="utf-8", newline="\n") as out:
    for line in expected:
        out.write("\t".join(line) + "\n")
print(len(expected), "cells,", len(values), "of them read twice")
