//! The parts of the last fifth of the line: lamps inside, electronics, test, finish, cleaning and papers.

/// See `families::COLUMNS` for what each column says.
pub const ROWS: &str = "
ILP|Inside lamp|-|each|10|TRM|ea|kit||1-4||0.1-0.5|4-19|F|lamp|ceiling round,ceiling long,reading left,reading right,galley,washroom,wardrobe,step,dinette,bunk
TVS|Television 24|-|opt:TV24|1|TRM|ea|kit||1||4-5|120-150|F|electric|
TVB|Television 32|-|opt:TV32|1|TRM|ea|kit||1||6-7|170-210|F|electric|
TVF|Television fitting|-|opt:TV24 or TV32|4|TRM|ea|kit||1||0.2-1.6|4-24|F|electric|bracket,cable,plate,lead
CTL|Control panel|-|each|2|TRM|ea|kit||1||0.4-0.9|44-85|F|electric|main,pump
ALM|Alarm|-|all|3|TRM|ea|kit||1||0.2-0.3|11-22|F|electric|smoke,gas,carbon monoxide
TSP|Test plug|-|all|5|TST|ea|kit||1-2||?|0.4-2|E|gas|gas,water,drain,mains,battery
TSL|Test label|-|each|6|TST|ea|kit||1||?|0.1-0.3|C|paper|gas,water,mains,battery,brakes,lamps
TSF|Test consumable|-|all|3|TST|l|bulk|5|0.1-0.4||1|3-8|K|glue|leak spray,tank rinse,contact spray
FPN|Touch-up paint|-|colour|1|FIN|l|bulk|1|0.05-0.1||1.1|18-24|K|glue|
FPI|Touch-up wax|-|decor|1|FIN|ea|bulk|20|0.2-0.4||0.02|1.5-2.4|K|glue|
FSL|Finish sealant|-|all|4|FIN|l|bulk|0.31|0.2-0.5|0.02|1.2|8-12|K|seal|white,black,grey,clear
FCP|Screw cap|-|decor|2|FIN|ea|bulk|500|20-60||0.0006|0.01-0.02|C|fixing|small,large
FCW|Screw cap, outside|-|colour|2|FIN|ea|bulk|500|20-50||0.0008|0.01-0.02|C|fixing|small,large
FTR|Finish trim|-|each|4|FIN|ea|kit||1-2||0.1-0.6|2-9|H|mould|sill,threshold,joint cover,corner cover
FBG|Badge|-|each|3|FIN|ea|kit||1||0.05-0.1|2-6|H|mould|front,side,rear
CLF|Cleaning cloth|-|all|3|CLN|ea|bulk|100|2-6||?|0.1-0.4|K|paper|dry,lint-free,window
CLL|Cleaning liquid|-|all|4|CLN|l|bulk|5|0.1-0.5||1|2-6|K|glue|glass,general,degreaser,wax
CLC|Protective cover|-|all|6|CLN|ea|kit||1-4||0.1-0.4|0.8-4|G|soft|seat,mattress,carpet runner,worktop,step,tap bag
INP|Paper|-|each|8|INS|ea|kit||1||0.02-0.3|0.2-3|C|paper|handbook pouch,appliance guide,warranty card,wiring sheet,gas sheet,weight label,key tag,final check sheet
INB|Handbook|-|each|1|INS|ea|kit||1||0.4-0.6|3-5|C|paper|
INL|Type plate|-|each|2|INS|ea|kit||1||0.03-0.05|1-2|C|paper|body,drawbar
INT|Starter item|-|all|7|INS|ea|kit||1||0.1-2.4|2-19|H|hardware|mains cable,water hose,drain hose,wheel brace,level,fuse pack,hitch cover
INC|Cold weather item|-|opt:COLD|3|INS|ea|kit||1||0.2-1.4|3-15|H|hardware|vent cover set,tank plug,sheet
";
