//! What plants call the tables and columns of a book, in a few languages: plain words of the trade, by which an export is known
//! for what it is. What is not found here is left to the person who reads the proposal.

use crate::book::spec::{Table, TableSpec};

/// What a column is called elsewhere. The column's own name need not stand here.
const COLUMNS: &[(&str, &[&str])] = &[
    (
        "part",
        &[
            "partno",
            "partnumber",
            "partnr",
            "item",
            "itemno",
            "itemnumber",
            "itemcode",
            "material",
            "materialno",
            "component",
            "componentno",
            "sku",
            "article",
            "articleno",
            "artikel",
            "artikelnr",
            "artikelnummer",
            "teil",
            "teilenr",
            "teilenummer",
            "sachnummer",
            "materialnummer",
            "komponente",
            "onderdeel",
            "onderdeelnr",
            "onderdeelnummer",
            "pièce",
            "piece",
            "référence",
            "reference",
            "composant",
            "pieza",
            "artículo",
            "articulo",
            "componente",
        ],
    ),
    (
        "parent",
        &[
            "assembly",
            "assemblyno",
            "parentitem",
            "parentpart",
            "product",
            "baugruppe",
            "oberteil",
            "kopfteil",
            "erzeugnis",
            "hoofdartikel",
            "samenstelling",
            "moeder",
            "ensemble",
            "parentno",
            "père",
            "conjunto",
        ],
    ),
    (
        "qty",
        &[
            "quantity",
            "amount",
            "amountper",
            "qtyper",
            "quantityper",
            "onhand",
            "count",
            "balance",
            "open",
            "openqty",
            "menge",
            "anzahl",
            "bestand",
            "stückzahl",
            "restmenge",
            "offen",
            "aantal",
            "voorraad",
            "geteld",
            "rest",
            "hoeveelheid",
            "quantité",
            "quantite",
            "qté",
            "qte",
            "stock",
            "cantidad",
            "saldo",
        ],
    ),
    (
        "uom",
        &[
            "um",
            "unitofmeasure",
            "measure",
            "units",
            "einheit",
            "me",
            "meh",
            "mengeneinheit",
            "eenheid",
            "eenh",
            "unité",
            "unite",
            "unidad",
            "medida",
        ],
    ),
    (
        "description",
        &[
            "desc",
            "text",
            "partname",
            "itemname",
            "bezeichnung",
            "benennung",
            "beschreibung",
            "omschrijving",
            "benaming",
            "désignation",
            "designation",
            "libellé",
            "descripción",
            "descripcion",
        ],
    ),
    (
        "name",
        &[
            "description",
            "bezeichnung",
            "benennung",
            "naam",
            "benaming",
            "omschrijving",
            "nom",
            "désignation",
            "nombre",
        ],
    ),
    ("supplier", &["vendor", "vendorname", "suppliername", "lieferant", "leverancier", "fournisseur", "proveedor"]),
    (
        "location",
        &[
            "bin",
            "binlocation",
            "shelf",
            "rack",
            "lagerplatz",
            "lagerort",
            "platz",
            "fach",
            "vak",
            "locatie",
            "plaats",
            "emplacement",
            "ubicación",
            "ubicacion",
        ],
    ),
    (
        "purchase order",
        &[
            "po",
            "pono",
            "ponumber",
            "order",
            "orderno",
            "ordernumber",
            "bestellung",
            "bestellnr",
            "bestellnummer",
            "auftrag",
            "inkooporder",
            "bestelling",
            "bestelnr",
            "commande",
            "nocommande",
            "pedido",
        ],
    ),
    (
        "due",
        &[
            "duedate",
            "promised",
            "promisedate",
            "deliverydate",
            "eta",
            "termin",
            "liefertermin",
            "lieferdatum",
            "fällig",
            "wunschtermin",
            "leverdatum",
            "leveringsdatum",
            "datelivraison",
            "livraison",
            "échéance",
            "entrega",
            "fechaentrega",
        ],
    ),
    ("line", &["linie", "fertigungslinie", "band", "lijn", "ligne", "línea", "linea"]),
    (
        "seq",
        &[
            "sequence",
            "order",
            "no",
            "pos",
            "position",
            "reihenfolge",
            "folge",
            "lfdnr",
            "nr",
            "volgorde",
            "volgnr",
            "volgnummer",
            "ordre",
            "rang",
            "orden",
            "secuencia",
        ],
    ),
    (
        "unit",
        &[
            "unitno",
            "unitnumber",
            "serial",
            "serialno",
            "serialnumber",
            "vin",
            "fahrgestell",
            "fahrgestellnr",
            "seriennummer",
            "einheit",
            "fahrzeug",
            "wagen",
            "boot",
            "serienummer",
            "eenheid",
            "unité",
            "noserie",
            "numérodesérie",
            "unidad",
            "serie",
        ],
    ),
    (
        "floorplan",
        &[
            "model",
            "type",
            "layout",
            "plan",
            "modell",
            "typ",
            "grundriss",
            "variante",
            "modèle",
            "modele",
            "modelo",
            "plano",
            "boottype",
        ],
    ),
    (
        "options",
        &["option", "optionen", "sonderausstattung", "ausstattung", "extras", "opties", "équipements", "opciones"],
    ),
    ("option", &["optioncode", "code", "ausstattung", "optie", "opción", "opcion"]),
    (
        "station",
        &[
            "workstation",
            "position",
            "stationno",
            "arbeitsplatz",
            "takt",
            "takte",
            "werkplek",
            "poste",
            "postedetravail",
            "estación",
            "estacion",
            "puesto",
        ],
    ),
    ("position", &["pos", "place", "platz", "takt", "plaats", "rang", "posición", "posicion"]),
    ("shop", &["workshop", "department", "werkstatt", "abteilung", "werkplaats", "afdeling", "atelier", "taller"]),
    (
        "source",
        &[
            "makebuy",
            "makeorbuy",
            "procurement",
            "beschaffung",
            "beschaffungsart",
            "herkunft",
            "soort",
            "approvisionnement",
            "origen",
        ],
    ),
    (
        "minutes",
        &[
            "runtime",
            "cycletime",
            "time",
            "stückzeit",
            "bearbeitungszeit",
            "zeit",
            "bewerking",
            "tijd",
            "temps",
            "tiempo",
            "takttime",
            "taktzeit",
        ],
    ),
    ("setup", &["setuptime", "rüstzeit", "insteltijd", "réglage", "preparación"]),
    (
        "lead days",
        &["leadtime", "leaddays", "lieferzeit", "wiederbeschaffungszeit", "wbz", "levertijd", "délai", "plazo"],
    ),
    (
        "minimum buy",
        &["minimumorder", "moq", "minqty", "mindestmenge", "mindestbestellmenge", "minafname", "minimum", "mínimo"],
    ),
    ("buy multiple", &["multiple", "ordermultiple", "rundung", "losgröße", "veelvoud", "múltiplo"]),
    (
        "pack quantity",
        &["packqty", "packsize", "pack", "packmenge", "gebinde", "verpackungseinheit", "perverpakking", "colisage"],
    ),
    (
        "safety stock",
        &[
            "safety",
            "sicherheitsbestand",
            "mindestbestand",
            "veiligheid",
            "veiligheidsvoorraad",
            "stockdesécurité",
            "seguridad",
        ],
    ),
    ("cost", &["price", "unitcost", "unitprice", "preis", "einkaufspreis", "prijs", "prix", "precio", "coste"]),
    ("weight", &["kg", "mass", "gewicht", "poids", "peso"]),
    (
        "when",
        &["condition", "only", "bedingung", "nurbei", "wenn", "alleenbij", "als", "voorwaarde", "condición", "si"],
    ),
    (
        "scrap",
        &[
            "scraprate",
            "waste",
            "loss",
            "ausschuss",
            "verschnitt",
            "uitval",
            "afval",
            "rebut",
            "perte",
            "merma",
            "desperdicio",
        ],
    ),
    (
        "hold",
        &[
            "onhold",
            "blocked",
            "gesperrt",
            "sperre",
            "sperrgrund",
            "vast",
            "geblokkeerd",
            "bloqué",
            "bloque",
            "retenido",
            "bloqueado",
        ],
    ),
    (
        "done",
        &[
            "finished",
            "complete",
            "completed",
            "fertig",
            "erledigt",
            "gereed",
            "klaar",
            "terminé",
            "termine",
            "fini",
            "terminado",
        ],
    ),
    ("start", &["startdate", "notbefore", "starttermin", "nichtvor", "frühestens", "nietvoor", "début", "inicio"]),
    ("issue", &["issuing", "bereitstellung", "ausgabe", "uitgifte"]),
    ("cover days", &["cover", "reichweite", "dekking", "couverture", "cobertura"]),
    ("series", &["serie", "baureihe", "reeks", "série", "gamme"]),
    ("deliver ahead", &["ahead", "vorlauf", "vooraf", "vorlaufmin", "voorafmin"]),
    ("gap", &["empty", "leerplätze", "lücke", "legeplaatsen", "vide"]),
    ("from change", &["validfrom", "gültigab", "vanaf"]),
    ("until change", &["validto", "gültigbis", "tot"]),
    ("at", &["standsat", "currentstation", "stehtauf", "stehtbei", "staatop", "àposte", "está"]),
    ("issued through", &["issued", "ausgegebenbis", "uitgegeventm", "uitgegeventot", "sortijusquà"]),
    ("calendar", &["kalender", "calendrier", "calendario", "shift", "schicht", "rooster"]),
    ("day", &["date", "weekday", "tag", "datum", "dag", "jour", "día", "dia"]),
    ("reason", &["grund", "reden", "raison", "motivo"]),
    ("note", &["remark", "comment", "bemerkung", "hinweis", "opmerking", "remarque", "nota"]),
    ("group", &["gruppe", "groep", "groupe", "grupo"]),
    ("from", &["fromdate", "von", "ab", "gültigab", "vanaf", "de", "desde"]),
    ("to", &["destination", "nach", "ziel", "naar", "à", "hasta"]),
    ("factor", &["faktor", "facteur"]),
    ("wave", &["run", "trip", "tour", "rit", "tournée", "ola"]),
    ("time", &["uhrzeit", "zeit", "tijd", "heure", "hora"]),
];

/// What a file or sheet with a table is called.
const TABLES: &[(Table, &[&str])] = &[
    (
        Table::Bills,
        &[
            "bom",
            "billofmaterial",
            "bill",
            "structure",
            "stückliste",
            "stueckliste",
            "stuklijst",
            "nomenclature",
            "listademateriales",
        ],
    ),
    (
        Table::Parts,
        &[
            "part",
            "item",
            "material",
            "article",
            "teilestamm",
            "artikel",
            "materialstamm",
            "onderdelen",
            "pièces",
            "articles",
            "piezas",
        ],
    ),
    (
        Table::Stock,
        &["stock", "inventory", "onhand", "bestand", "lager", "voorraad", "inventaire", "existencias", "inventario"],
    ),
    (
        Table::Receipts,
        &[
            "receipt",
            "purchase",
            "openorder",
            "openpo",
            "bestellung",
            "bestellungen",
            "inkoop",
            "bestelling",
            "commande",
            "achats",
            "pedidos",
            "compras",
        ],
    ),
    (
        Table::Sequence,
        &[
            "sequence",
            "schedule",
            "lineup",
            "buildplan",
            "reihenfolge",
            "bauprogramm",
            "planung",
            "volgorde",
            "planning",
            "séquence",
            "ordonnancement",
            "secuencia",
            "programa",
        ],
    ),
    (Table::Stations, &["station", "arbeitsplätze", "arbeitsplatz", "werkplek", "postes", "estaciones"]),
    (Table::Floorplans, &["floorplan", "model", "modell", "type", "boottype", "modèle", "modelos"]),
    (Table::Options, &["option", "ausstattung", "opties", "opciones"]),
    (Table::Calendar, &["calendar", "kalender", "calendrier", "calendario", "shift", "schicht"]),
    (Table::Extras, &["extra", "remake", "nachlieferung", "nalevering"]),
];

/// What plants write for the book's units of measure.
const MEASURES: &[(&str, &[&str])] = &[
    (
        "ea",
        &[
            "pcs", "pc", "piece", "pieces", "each", "stk", "stck", "st", "stück", "stuk", "stuks", "pce", "pièce",
            "pza", "ud", "uds",
        ],
    ),
    ("pr", &["pair", "pairs", "paar", "paire", "par"]),
    ("set", &["sets", "satz", "jeu", "juego", "kit"]),
    ("sheet", &["sheets", "tafel", "platte", "plaat", "plaque", "feuille", "hoja", "plancha"]),
    ("roll", &["rolls", "rolle", "rol", "rouleau", "rollo"]),
    ("box", &["boxes", "karton", "schachtel", "doos", "boîte", "caja"]),
    ("m", &["mtr", "meter", "metre", "mètre", "metro", "lfm", "lm"]),
    ("sqm", &["m²", "m2", "qm"]),
    ("sqft", &["ft²", "ft2", "sf"]),
    ("l", &["ltr", "liter", "litre", "litro", "lt"]),
    ("kg", &["kilo", "kgs"]),
    ("ft", &["feet", "foot", "lf"]),
];

/// What plants write for yes and for no.
pub const YES: &[&str] = &["ja", "j", "oui", "o", "sí", "si", "s"];
/// For no.
pub const NO: &[&str] = &["nein", "nee", "non"];

/// What plants write into cells in which nothing stands.
pub const BLANK: &[&str] =
    &["-", "--", "n/a", "na", "n.a.", "null", "none", "n.v.t.", "nvt", "entf.", "entfällt", "k.a."];

/// What the level of an indented bill is called.
const LEVEL: &[&str] = &["level", "lvl", "stufe", "ebene", "niveau", "nivel", "bomlevel", "indent"];

/// What plants write for the words of the book that say where a part comes from.
const WORDS: &[(&str, &[&str])] = &[
    (
        "buy",
        &[
            "bought",
            "purchased",
            "purchase",
            "kauf",
            "kaufteil",
            "einkauf",
            "koop",
            "inkoop",
            "achat",
            "acheté",
            "compra",
        ],
    ),
    (
        "make",
        &["made", "manufactured", "eigen", "eigenfertigung", "fertigung", "maak", "eigenmaak", "fabriqué", "fabricado"],
    ),
    ("phantom", &["phantombaugruppe", "samenstel", "fantôme", "fantasma"]),
];

/// Whether a heading is that of the levels of an indented bill.
pub fn is_level(heading: &str) -> bool {
    LEVEL.contains(&plain(heading).as_str())
}

/// The book's word that a plant's means.
pub fn word(own: &str) -> Option<&'static str> {
    let wanted = plain(own);
    WORDS.iter().find(|(_, words)| words.contains(&wanted.as_str())).map(|(word, _)| *word)
}

/// What the last line of a list begins with.
pub const TOTALS: &[&str] =
    &["total", "sum", "summe", "gesamt", "totaal", "eindtotaal", "einde", "ende", "somme", "suma", "end"];

/// A heading as it is compared: letters and digits alone, in lower case.
pub fn plain(heading: &str) -> String {
    heading.chars().filter(|sign| sign.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// The columns of a table that a heading may mean; first those whose own name it is.
pub fn columns(spec: &TableSpec, heading: &str) -> Vec<&'static str> {
    let wanted = plain(heading);
    if wanted.is_empty() {
        return Vec::new();
    }
    let own = spec.columns().filter(|name| plain(name) == wanted);
    let called = |name: &&str| COLUMNS.iter().any(|(column, words)| column == name && words.contains(&wanted.as_str()));
    own.chain(spec.columns().filter(called)).collect()
}

/// Whether a heading means a column of any table.
pub fn is_known(heading: &str) -> bool {
    Table::all().any(|spec| !columns(spec, heading).is_empty())
}

/// Whether a file or sheet is called like a table.
pub fn names(spec: &TableSpec, name: &str) -> bool {
    let wanted = plain(name);
    let words = TABLES.iter().find(|(table, _)| *table == spec.table).map_or(&[][..], |(_, words)| words);
    wanted.contains(&plain(spec.name)) || words.iter().any(|word| wanted.contains(word))
}

/// The book's unit of measure that a plant's word means.
pub fn measure(word: &str) -> Option<&'static str> {
    let wanted = word.trim().trim_end_matches('.').to_lowercase();
    MEASURES.iter().find(|(_, words)| words.contains(&wanted.as_str())).map(|(measure, _)| *measure)
}
