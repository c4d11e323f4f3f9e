# Run at the root of the repository, with openpyxl and xlwt. Writes tests/files/second-plant/exports from tests/files/second-plant/clean:
# the same yard as five unlike systems hand it out. lineward.toml, which reads them, is written by hand. No test runs this.
import csv, datetime, io, os, re, zipfile
import openpyxl, xlwt
from openpyxl.styles import Font

HERE = 'tests/files/second-plant'
TABLES = {name[:-4]: list(csv.DictReader(open(f'{HERE}/clean/{name}', encoding='utf-8', newline='')))
          for name in sorted(os.listdir(f'{HERE}/clean'))}
OUT = f'{HERE}/exports'
os.makedirs(OUT, exist_ok=True)


def grouped(text, comma=True):
    """1234.5 as 1.234,5."""
    if not re.fullmatch(r'-?\d+(\.\d+)?', text):
        return text
    whole, _, decimals = text.partition('.')
    whole = re.sub(r'(?<=\d)(?=(\d{3})+$)', '.', whole) if comma else whole
    return whole + (',' + decimals if decimals else '')


def day(text, form):
    """2027-09-14 06:00 in another form, the time behind."""
    date, _, time = text.partition(' ')
    if not re.fullmatch(r'\d{4}-\d\d-\d\d', date):
        return text
    return datetime.date.fromisoformat(date).strftime(form) + (f' {time}' if time else '')


MEASURES = {'ea': 'st', 'm': 'mtr', 'sqm': 'm²', 'l': 'ltr', 'sheet': 'plaat', 'box': 'doos'}
SOURCES = {'buy': 'koop', 'make': 'maak', 'phantom': 'samenstel', 'by-product': 'uitval'}
UOM = {p['part']: p['uom'] for p in TABLES['Parts']}
ISSUES = {'kit': 'set', 'sequence': 'volgorde', 'bulk': 'bulk'}


def text_file(name, rows, separator, encoding, end='\r\n'):
    def cell(text):
        return '"' + text.replace('"', '""') + '"' if any(c in text for c in (separator, '"', '\n')) else text
    text = ''.join(separator.join(cell(text) for text in row) + end for row in rows)
    with open(f'{OUT}/{name}', 'wb') as file:
        file.write(text.encode(encoding))


# The parts list: Windows-1252, semicolons, decimal commas, title lines above the headings, a total line below.
def parts():
    heads = ['Artikel', 'Omschrijving', 'Eenheid', 'Soort', 'Werkplaats', 'Insteltijd', 'Bewerking', 'Vak', 'Uitgifte',
             'Per verpakking', 'Leverancier', 'Levertijd', 'Min. afname', 'Veelvoud', 'Dekking', 'Veiligheid', 'Prijs',
             'Gewicht', 'Omzet 2026']
    rows = [['Werf Vlinterzijl - artikelstam'], ['Afgedrukt 13-09-2027 14:12; alle vestigingen'], [], heads]
    for i, p in enumerate(TABLES['Parts']):
        numbers = ['pack quantity', 'lead days', 'minimum buy', 'buy multiple', 'cover days', 'safety stock', 'cost', 'weight']
        number = {key: grouped(p[key]) for key in numbers + ['setup', 'minutes']}
        # The system prints all prices with two decimals.
        cost = f"{float(p['cost']):.2f}" if p['cost'] else ''
        rows.append([p['part'], p['description'], ['st', 'Stuks', 'stuks'][i % 3] if p['uom'] == 'ea' else MEASURES[p['uom']],
                     SOURCES[p['source']], p['shop'] or '-', number['setup'], number['minutes'], p['location'] or 'n.v.t.',
                     ISSUES[p['issue']] if p['issue'] else '-', number['pack quantity'], p['supplier'] or '-',
                     number['lead days'], number['minimum buy'], number['buy multiple'], number['cover days'],
                     number['safety stock'], grouped(cost), number['weight'], grouped(str(1000 + 137 * i) + '.50')])
    rows.append(['Totaal', f"{len(TABLES['Parts'])} artikelen"] + [''] * (len(heads) - 2))
    text_file('artikelen.csv', rows, ';', 'cp1252')


# Stations and floorplans, of the same system.
def places():
    rows = [['Werkplekken per lijn'], [], ['Lijn', 'Werkplek', 'Plaats', 'Naam', 'Vooraf (min)']]
    rows += [[s['line'], s['station'], s['position'], s['name'], grouped(s['deliver ahead'])] for s in TABLES['Stations']]
    text_file('werkplekken.csv', rows, ';', 'cp1252')
    rows = [['Type', 'Benaming', 'Reeks', 'Sinds']]
    rows += [[f['floorplan'], f['name'], f['series'], str(2019 + i)] for i, f in enumerate(TABLES['Floorplans'])]
    rows += [['--- einde van de lijst ---', '', '', '']]
    text_file('boottypen.csv', rows, ';', 'cp1252')


# The bills: UTF-16 with tabs, indented, a sub-assembly shown again wherever it is used; own units of measure, percents, thousands.
def bills():
    lines = {}
    for bill in TABLES['Bills']:
        lines.setdefault(bill['parent'], []).append(bill)
    name = {p['part']: p['description'] for p in TABLES['Parts']}
    rows = [['Niveau', 'Artikel', 'Omschrijving', 'Aantal', 'Eenh.', 'Werkplek', 'Alleen bij', 'Uitval %', 'Vanaf', 'Tot', 'Opmerking']]

    def below(parent, level):
        for i, b in enumerate(lines.get(parent, [])):
            measure = b['uom'] or UOM[b['part']]
            share = grouped(f"{float(b['scrap']) * 100:g}") if b['scrap'] else ''
            rows.append(['.' * level + str(level), b['part'], name[b['part']], grouped(b['qty']),
                         ['stuks', 'st'][i % 2] if measure == 'ea' else MEASURES[measure],
                         b['station'], b['when'], share, b['from change'], b['until change'], b['note']])
            below(b['part'], level + 1)
    for f in TABLES['Floorplans']:
        rows.append(['0', f['floorplan'], f['name']] + [''] * 8)
        below(f['floorplan'], 1)
    text_file('stuklijsten.txt', rows, '\t', 'utf-16-le')
    with open(f'{OUT}/stuklijsten.txt', 'r+b') as file:
        text = file.read()
        file.seek(0)
        file.write(b'\xff\xfe' + text)


# The planner's own workbook: merged title, hidden columns, separator rows, extra columns, the line only where its block begins,
# units as numbers with the format 0000.
def sequence():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = 'Planning wk 37-38'
    heads = ['Lijn', 'Volgnr', 'Boot', 'Klant', 'Type', 'Opties', 'Niet voor', 'Lege plaatsen', 'Staat op', 'Uitgegeven t/m', 'Vast', 'Gereed', 'Opmerking']
    sheet.cell(1, 1, 'Bouwvolgorde week 37 en 38').font = Font(bold=True, size=14)
    sheet.merge_cells(start_row=1, start_column=1, end_row=1, end_column=len(heads))
    sheet.cell(2, 1, 'Stand maandag 13 september, 14:00 uur')
    for column, head in enumerate(heads, 1):
        sheet.cell(4, column, head).font = Font(bold=True)
    sheet.column_dimensions['D'].hidden = True
    sheet.column_dimensions['M'].hidden = True
    at, first = 5, {}
    for i, u in enumerate(TABLES['Sequence']):
        if u['line'] not in first:
            first[u['line']] = at
            sheet.cell(at, 1, u['line'])
        if i in (7, 13):
            sheet.cell(at, 3, '-----')
            at += 1
        if i in (4, 22):
            sheet.cell(at, 13, 'proefvaart alleen bij daglicht')
            at += 1
        number = sheet.cell(at, 3, int(u['unit']))
        number.number_format = '0000'
        sheet.cell(at, 2, int(u['seq']))
        sheet.cell(at, 4, f'K{1000 + 7 * i}')
        sheet.cell(at, 5, u['floorplan'])
        sheet.cell(at, 6, u['options'].replace(' ', ', '))
        if u['start']:
            date = sheet.cell(at, 7, datetime.datetime.fromisoformat(u['start']))
            date.number_format = 'dd-mm-yyyy'
        if u['gap']:
            sheet.cell(at, 8, int(u['gap']))
        sheet.cell(at, 9, u['at'] or None)
        sheet.cell(at, 10, u['issued through'] or None)
        sheet.cell(at, 11, u['hold'] or ['nee', None, '-'][i % 3])
        sheet.cell(at, 12, {'yes': 'ja', '': ['nee', None][i % 2]}[u['done']])
        at += 1
        last = i + 1 == len(TABLES['Sequence']) or TABLES['Sequence'][i + 1]['line'] != u['line']
        if last:
            sheet.merge_cells(start_row=first[u['line']], start_column=1, end_row=at - 1, end_column=1)
            sheet.cell(at, 3, '-----')
            at += 1
    book.create_sheet('Kladblad').cell(1, 1, 'bellen met de klant van 0412')
    save(book, 'planning.xlsx')


def save(book, name):
    """The workbook without the moment at which it was made."""
    moment = datetime.datetime(2027, 9, 13, 14, 0)
    book.properties.creator = 'planning'
    book.properties.created = moment
    made = io.BytesIO()
    book.save(made)
    again = zipfile.ZipFile(f'{OUT}/{name}', 'w', zipfile.ZIP_DEFLATED)
    with zipfile.ZipFile(made) as old, again:
        for entry in old.namelist():
            text = old.read(entry)
            if entry == 'docProps/core.xml':
                text = re.sub(rb'(<dcterms:modified[^>]*>)[^<]*', rb'\g<1>2027-09-13T14:00:00Z', text)
            again.writestr(zipfile.ZipInfo(entry, (2027, 9, 13, 14, 0, 0)), text, zipfile.ZIP_DEFLATED)


# The count of the stores, as an open document: codes that the spreadsheet has spoiled, remarks below the list.
def stock():
    def escaped(text):
        return text.replace('&', '&amp;').replace('<', '&lt;').replace('"', '&quot;')

    def words(text):
        return f'<table:table-cell office:value-type="string"><text:p>{escaped(text)}</text:p></table:table-cell>' if text else '<table:table-cell/>'

    def number(text):
        if not text:
            return '<table:table-cell/>'
        return f'<table:table-cell office:value-type="float" office:value="{float(text):g}"><text:p>{grouped(text)}</text:p></table:table-cell>'

    def code(text):
        if re.fullmatch(r'\d+', text):
            return number(str(int(text)))
        spoiled = re.fullmatch(r'(\d+)-(\d+)', text)
        if not spoiled:
            return words(text)
        date = f'2027-{int(spoiled[2]):02}-{int(spoiled[1]):02}'
        return f'<table:table-cell table:style-name="dag" office:value-type="date" office:date-value="{date}"><text:p>{spoiled[1]}-{spoiled[2]}-27</text:p></table:table-cell>'

    heads = ['Artikel', 'Geteld', 'Eenheid', 'Vak', 'Werkplek', 'Voor boot', 'Geblokkeerd', 'Teller']
    rows = [[words('Telling magazijn 13 september')], [], [words(head) for head in heads]]
    for i, s in enumerate(TABLES['Stock']):
        # Some quantities were typed as text.
        qty = words(grouped(s['qty'])) if i % 6 == 2 or float(s['qty']) >= 1000 else number(s['qty'])
        measure = 'doos' if s['uom'] == 'box' else MEASURES[UOM[s['part']]] if i % 3 == 1 else ''
        rows.append([code(s['part']), qty, words(measure),
                     words(s['location']), words(s['station'] or '-'), code(s['unit']) if s['unit'] else words(''),
                     words(s['hold'] or ['', 'nee', '-'][i % 3]), words(['Jaap', 'Zoë'][i % 2])])
    rows += [[], [words('Einde telling')], [words('Let op: vak T-2 lekt'), number('3')]]
    content = ('<?xml version="1.0" encoding="UTF-8"?><office:document-content'
               ' xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"'
               ' xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0"'
               ' xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0"'
               ' xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"'
               ' xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.2">'
               '<office:automatic-styles><number:date-style style:name="kort"><number:day/><number:text>-</number:text>'
               '<number:month/><number:text>-</number:text><number:year/></number:date-style>'
               '<style:style style:name="dag" style:family="table-cell" style:data-style-name="kort"/></office:automatic-styles>'
               '<office:body><office:spreadsheet><table:table table:name="Telling">')
    content += ''.join('<table:table-row>' + (''.join(row) or '<table:table-cell/>') + '</table:table-row>' for row in rows)
    content += '</table:table></office:spreadsheet></office:body></office:document-content>'
    kind = 'application/vnd.oasis.opendocument.spreadsheet'
    manifest = ('<?xml version="1.0" encoding="UTF-8"?><manifest:manifest'
                ' xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.2">'
                f'<manifest:file-entry manifest:full-path="/" manifest:version="1.2" manifest:media-type="{kind}"/>'
                '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>')
    with zipfile.ZipFile(f'{OUT}/voorraad.ods', 'w') as file:
        for entry, text, packed in [('mimetype', kind, zipfile.ZIP_STORED), ('content.xml', content, zipfile.ZIP_DEFLATED),
                                    ('META-INF/manifest.xml', manifest, zipfile.ZIP_DEFLATED)]:
            file.writestr(zipfile.ZipInfo(entry, (2027, 9, 13, 14, 0, 0)), text, packed)


# The purchase orders, as an old workbook: dates as text in two forms, numbers as text and as such, orders of another yard.
def receipts():
    book = xlwt.Workbook(encoding='utf-8')
    sheet = book.add_sheet('Openstaand')
    sheet.write(0, 0, 'Openstaande inkooporders')
    heads = ['Vestiging', 'Order', 'Artikel', 'Rest', 'Eenheid', 'Leverdatum', 'Leverancier', 'Stand']
    for column, head in enumerate(heads):
        sheet.write(2, column, head)
    at = 3

    def write(cells):
        nonlocal at
        for column, cell in enumerate(cells):
            if cell != '':
                sheet.write(at, column, cell)
        at += 1
    for i, r in enumerate(TABLES['Receipts']):
        due = day(r['due'], ['%d-%m-%Y', '%Y.%m.%d'][i % 2])
        qty = grouped(r['qty']) if i % 4 == 1 else float(r['qty'])
        write(['01', int(r['purchase order']), r['part'], qty, {'': '', 'box': 'doos'}[r['uom']], due, r['supplier'] or '-', 'open'])
        if i % 9 == 3:
            write(['02', 61200 + i, r['part'], 5, '', '20-09-2027', '-', 'open'])
        if i % 9 == 6:
            write(['01', 70300 + i, r['part'], 99, '', '01-09-2027', '-', 'geleverd'])
    book.save(f'{OUT}/inkoop.xls')


# All other tables: the yard's own workbook, in the book's headings, with dates and decimals as the yard writes them.
def rest():
    book = openpyxl.Workbook()
    book.remove(book.active)
    numbers = {'minutes', 'crews', 'transit', 'deliver ahead', 'factor', 'decimals', 'qty', 'minutes left', 'pick minutes'}
    for name, table in TABLES.items():
        if name in ('Parts', 'Bills', 'Sequence', 'Stock', 'Receipts', 'Stations', 'Floorplans'):
            continue
        sheet = book.create_sheet(name)
        for column, head in enumerate(table[0], 1):
            sheet.cell(1, column, head).font = Font(bold=True)
            for row, cells in enumerate(table, 2):
                text = cells[head]
                if head in numbers:
                    text = grouped(text) if row % 2 else (float(text) if text else '')
                elif head in ('uom', 'from', 'to') and text in MEASURES and name in ('Uoms', 'Conversions', 'Extras'):
                    text = MEASURES[text]
                elif text == 'no':
                    text = 'nee'
                else:
                    text = day(text, '%d-%m-%Y')
                    if name == 'Settings' and cells['key'] == 'one person lifts':
                        text = grouped(text)
                if text != '':
                    sheet.cell(row, column, text)
    save(book, 'basis.xlsx')


for write in (parts, places, bills, sequence, stock, receipts, rest):
    write()
