"""Writes the same measurement as spreadsheets of two libraries, as people keep one: `measurement.xlsx` and
`measurement.ods`; and spreadsheets that must be refused.

    pip install openpyxl==3.1.5 odfpy==1.4.1
    python make_tables.py
"""

import datetime

import odf.number
import odf.style
import odf.table
import odf.text
import openpyxl
from odf.opendocument import OpenDocumentSpreadsheet

ROWS = [
    (0, 0.0, 1, "loading"),
    (12.5, 0.0325, 1, "loading"),
    (150, 0.713, 1, "loading"),
    (33.3, 0.127, 2, "unloading"),
    (0.7, 0.001, 2, "unloading"),
    (200.25, 1.0, 2, "loading"),
]
HEAD = ("Weight (g)", "Pressure %", "Seating", "Direction", "Notes")


def workbook(percent=True):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Bench"
    sheet["A1"] = "Dunlin 01, measured by hand"
    sheet.merge_cells("A1:D1")
    sheet["A2"] = "Model"
    sheet["B2"] = "Dunlin"
    sheet["A3"] = "# unit = 01"
    sheet["A4"] = "# batch"
    sheet["B4"] = 2025
    for column, name in enumerate(HEAD, 1):
        sheet.cell(6, column, name)
    for row, (force, reading, seating, direction) in enumerate(ROWS, 7):
        sheet.cell(row, 1, force)
        sheet.cell(row, 2, reading if percent else 100 * reading)
        if percent:
            sheet.cell(row, 2).number_format = "0.0%"
        sheet.cell(row, 3, seating)
        sheet.cell(row, 4, direction)
    sheet.cell(9, 5, "settled slowly")
    other = book.create_sheet("Other")
    other["A1"] = "nothing of a table"
    return book, sheet


def with_openpyxl():
    book, _ = workbook()
    book.save("measurement.xlsx")
    book, sheet = workbook()
    sheet["A9"] = datetime.datetime(2026, 5, 1)
    book.save("date.xlsx")
    book, sheet = workbook()
    sheet["A9"] = "=A8*2"
    book.save("formula.xlsx")
    book, sheet = workbook()
    sheet.merge_cells("A9:A10")
    book.save("merged.xlsx")
    book, sheet = workbook()
    sheet["B9"] = "#DIV/0!"
    sheet["B9"].data_type = "e"
    book.save("error.xlsx")
    # Some readings as percentages and some as numbers of percent: which is meant cannot be told.
    book, sheet = workbook()
    sheet["B9"] = 71.3
    sheet["B9"].number_format = "General"
    sheet["B6"] = "Reading"
    book.save("mixed.xlsx")


def with_odfpy():
    book = OpenDocumentSpreadsheet()
    table = odf.table.Table(name="Bench")

    def row(cells):
        line = odf.table.TableRow()
        for cell in cells:
            line.addElement(cell)
        table.addElement(line)

    def text(value):
        cell = odf.table.TableCell(valuetype="string")
        cell.addElement(odf.text.P(text=value))
        return cell

    def number(value, kind="float"):
        return odf.table.TableCell(valuetype=kind, value=repr(value))

    row([text("Dunlin 01, measured by hand")])
    row([text("Model"), text("Dunlin")])
    row([text("# unit = 01")])
    row([text("# batch"), number(2025)])
    row([])
    row([text(name) for name in HEAD])
    for force, reading, seating, direction in ROWS:
        row([number(force), number(reading, "percentage"), number(seating), text(direction)])
    book.spreadsheet.addElement(table)
    book.save("measurement.ods")


with_openpyxl()
with_odfpy()
