# Run at the root of the repository. Makes tests/files/plant.xlsx from tests/examples/buyer/book: dates, times and numbers as such, quantities of stock as text.
import csv, datetime, glob, os, re
from openpyxl import Workbook
from openpyxl.styles import Font
book = Workbook(); book.remove(book.active)
def cell(name, heading, text):
    if text == '': return None
    if name == 'Stock' and heading == 'qty': return text           # a number stored as text
    if re.fullmatch(r'\d{4}-\d\d-\d\d', text): return datetime.datetime.strptime(text, '%Y-%m-%d')
    if re.fullmatch(r'\d{4}-\d\d-\d\d \d\d:\d\d', text): return datetime.datetime.strptime(text, '%Y-%m-%d %H:%M')
    if re.fullmatch(r'\d\d:\d\d', text): return datetime.time(*map(int, text.split(':')))
    if re.fullmatch(r'-?\d+(\.\d+)?', text): return float(text) if '.' in text else int(text)
    return text
for path in sorted(glob.glob('tests/examples/buyer/book/*.csv')):
    name = os.path.basename(path)[:-4]
    sheet = book.create_sheet(name)
    rows = list(csv.reader(open(path)))
    for c, heading in enumerate(rows[0], 2):
        sheet.cell(3, c, heading).font = Font(bold=True)
        sheet.merge_cells(start_row=3, start_column=c, end_row=4, end_column=c)   # headings over two rows
    for r, row in enumerate(rows[1:], 5):
        for c, text in enumerate(row, 2):
            value = cell(name, rows[0][c - 2], text)
            if value is not None: sheet.cell(r, c, value)
    if name == 'Bills': sheet.row_dimensions[6].hidden = True
    if name == 'Stock': sheet.sheet_state = 'hidden'
    if name == 'Parts':
        for r in (60000, 65000): sheet.cell(r, 3).font = Font(bold=True)          # blank, but formatted
book.save('tests/files/plant.xlsx')
