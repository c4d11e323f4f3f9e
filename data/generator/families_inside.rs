//! The parts of the inside: galley, bedroom, dinette, washroom, soft goods and the cabinet shop's material.

/// See `families::COLUMNS` for what each column says.
pub const ROWS: &str = "
SNK|Sink|-|all|2|GAL|ea|kit||1||3-4|52-66|E|wash|flat edge,rolled edge
TAP|Galley tap|-|all|1|GAL|ea|kit||1||0.9-1.2|24-34|E|wash|
SNF|Sink fitting|-|each|6|GAL|ea|kit||1-2||0.1-0.6|1.5-7|E|wash|waste,trap,seal,clip set,overflow,drainer lid
WTP|Worktop|-|decoreach|1|GAL|ea|kit||1||9-16|48-90|B|laminate|
WTE|Worktop edge|-|decoreach|2|GAL|ft|kit||6-14*|0.05|0.1-0.2|0.8-1.6|H|mould|front,upstand
SPL|Splash panel|-|decoreach|2|GAL|ea|kit||1||1.5-3|12-24|B|laminate|hob,sink
GHW|Galley hardware|-|each|8|GAL|ea|kit||1-3||0.05-0.8|0.9-9|H|hardware|cutlery tray,towel rail,bin,bin lid,spice rack,plate rack,hook,lid stay
GSC|Galley screw|-|all|3|GAL|ea|bulk|1000|30-80*||0.002-0.004|0.01-0.04|C|fixing|4 x 16,4 x 30,4 x 50
BDF|Bed frame|-|each|2|BED|ea|kit||1||9-18|48-85|H|hardware|slat set,hinge frame
BDS|Bed gas strut|-|all|2|BED|pr|kit||1||0.6-0.9|8-14|H|hardware|300 N,450 N
BHW|Bedroom hardware|-|each|8|BED|ea|kit||1-4||0.05-0.7|0.8-8|H|hardware|wardrobe rail,rail end,mirror,mirror clip,door stay,vent grille,hook,shelf net
LAD|Bunk ladder|-|opt:COMPACT|2|BED|ea|kit||1||2-4|16-29|H|hardware|ladder,rail
DTL|Dinette table leg|-|each|3|DIN|ea|kit||1||1-5|9-36|H|hardware|leg,floor plate,top plate
DHW|Dinette hardware|-|each|6|DIN|ea|kit||1-4||0.05-0.5|0.7-5|H|hardware|seat hinge,seat latch,bolster clip,socket box,foot plate,stay
SHW|Shower tray|-|each|1|WSH|ea|kit||1||6-9|48-75|E|wash|
SHP|Shower wall|-|each|2|WSH|ea|kit||1||5-9|30-55|B|laminate|back,side
TLT|Toilet|-|all|2|WSH|ea|kit||1||9-11|140-190|D|wash|cassette,seat
WSF|Washroom fitting|WPK|each|11||ea|kit||1-2||0.1-1.2|2-21|E|wash|basin tap,shower head,shower hose,riser rail,basin waste,trap,roll holder,towel ring,soap dish,shelf,door bolt
WBN|Wash basin|WPK|each|1||ea|kit||1||2-3|24-38|E|wash|
WPP|Washroom pipe set|WPK|each|3||ea|kit||1||0.4-0.9|6-13|E|pipe|cold,warm,drain
WSL|Washroom sealant|-|all|2|WSH|l|bulk|0.31|0.3-0.6|0.02|1.2|9-14|K|glue|clear,white
OSH|Outside shower|-|opt:OUTSH|1|WSH|ea|kit||1||1.6|44-52|E|wash|
OSF|Outside shower fitting|-|opt:OUTSH|4|WSH|ea|kit||1||0.1-0.5|3-12|E|wash|box,hose,valve,pipe set
CUS|Cushion|-|decoreach|5|SOF|ea|kit||1||2-4|26-55|G|soft|seat left,seat right,back left,back right,corner
MAT|Mattress|-|each|2|SOF|ea|kit||1||11-21|80-150|G|soft|main,second
BED|Bedspread|-|decoreach|2|SOF|ea|kit||1||1.5-2.5|19-36|G|soft|main,pillow set
CUR|Curtain|-|decoreach|6|SOF|ea|kit||1-2||0.4-1.1|9-22|G|soft|front,left,right,rear,washroom,divider
SHD|Soft hardware|-|each|6|SOF|ea|kit||2-8||0.02-0.3|0.4-3|G|blind|curtain track,track end,tie back,hook pack,hook-and-loop strip,press stud set
BLN|Window blind|-|each|5|TRM|ea|kit||1||1-2.4|22-48|G|blind|front,galley,dinette,bedroom,washroom
RBL|Roof vent blind|-|all|2|TRM|ea|kit||1||0.8-1.2|18-30|G|blind|large,small
ITR|Inside trim|-|decoreach|6|TRM|ft|kit||8-30*|0.05|0.04-0.12|0.5-1.3|H|mould|ceiling cove,corner,door frame,window frame,cap strip,skirting
ITC|Trim corner|-|decoreach|3|TRM|ea|kit||4-10||0.01-0.03|0.3-0.9|H|mould|inside,outside,end
TPN|Trim pin|-|all|2|TRM|ea|bulk|2000|80-200*||0.0005-0.001|0.004-0.01|C|fixing|15 mm,25 mm
IDR|Inside door|-|decoreach|2|TRM|ea|kit||1||6-9|46-75|J|door|washroom,bedroom
IDH|Inside door hardware|-|each|4|TRM|ea|kit||1-2||0.1-0.4|2-9|H|hardware|hinge set,latch,handle,stop
F9A|Fridge 90 l|-|opt:FR90|1|APP|ea|sequence||1||27-29|260-300|D|appliance|
F14|Fridge 140 l|-|opt:FR140|1|APP|ea|sequence||1||34-38|380-430|D|appliance|
F19|Fridge 190 l|-|opt:FR190|1|APP|ea|sequence||1||46-50|560-640|D|appliance|
FRF|Fridge fitting|-|each|6|APP|ea|kit||1||0.1-0.9|2-16|D|appliance|upper vent,lower vent,flue,baffle,door lock,cable
HB3|Hob, three burners|-|opt:HOB3|1|APP|ea|kit||1||6-7|88-110|D|appliance|
HB4|Hob, four burners|-|opt:HOB4|1|APP|ea|kit||1||8-9|120-150|D|appliance|
HBF|Hob fitting|-|all|3|APP|ea|kit||1||0.2-0.6|3-11|D|appliance|glass lid,seal,pan rest
OVN|Oven|-|opt:OVEN|1|APP|ea|kit||1||15-17|210-250|D|appliance|
OVF|Oven fitting|-|opt:OVEN|3|APP|ea|kit||1||0.3-1.2|4-14|D|appliance|trim,flue,gas pipe
MCW|Microwave|-|opt:MIC|1|APP|ea|kit||1||12-13|96-120|D|appliance|
MCF|Microwave fitting|-|opt:MIC|3|APP|ea|kit||1||0.2-0.7|3-9|D|appliance|frame,bracket,vent
HET|Room heater|-|each|1|APP|ea|kit||1||9-13|230-310|D|air|
HEF|Heater fitting|-|each|8|APP|ea|kit||1-3||0.1-0.9|2-14|D|air|flue,flue cap,duct,duct end,grille,thermostat,fan,clip
DCT|Warm air duct|-|all|3|APP|ft|kit||6-18*|0.05|0.06-0.1|0.6-1.1|E|air|55 mm,65 mm,80 mm
BFD|Faced board 15 mm|cab|decor|1||sheet|bulk|5|1||19|24-30|B|board|
BBK|Back board 4 mm|cab|all|2||sheet|bulk|10|1||7|6-9|B|board|plain,white
BPL|Plain board 12 mm|cab|all|2||sheet|bulk|5|1||15|13-18|B|board|birch,poplar
EDG|Edge band|cab|decor|1||ft|bulk|150|1||0.01|0.05-0.08|H|laminate|
CDR|Cabinet door|cab|decoreach|12||ea|kit||1||0.9-3.2|9-26|H|laminate|300 x 250,300 x 400,400 x 300,400 x 500,450 x 600,500 x 350,600 x 300,600 x 450,drawer 300,drawer 400,drawer 500,roller
HDL|Cabinet handle|cab|decor|2||ea|kit||1||0.05-0.09|1.1-2|H|hardware|short,long
HNG|Cabinet hinge|cab|all|4||pr|bulk|50|1||0.08-0.16|0.8-1.9|H|hardware|sprung,slow,wide,lift
RUN|Drawer runner|cab|all|4||pr|kit||1||0.5-1.1|3-7|H|hardware|300,350,400,450
LCH|Cabinet latch|cab|all|3||ea|bulk|100|1||0.03-0.06|0.5-1.2|H|hardware|push,roller,magnet
LST|Locker stay|cab|all|3||ea|kit||1||0.08-0.2|1.4-3|H|hardware|left,right,gas
CFT|Cabinet fitting|cab|all|5||ea|bulk|500|1||0.003-0.02|0.02-0.12|C|fixing|cam,dowel,shelf pin,corner block,plinth clip
CSC|Cabinet screw|cab|all|4||ea|bulk|1000|1||0.001-0.004|0.01-0.03|C|fixing|3.5 x 16,3.5 x 30,4 x 40,4 x 60
CWG|Wood glue|cab|all|2||kg|bulk|10|1||1|3-5|K|glue|white,brown
CTP|Table top|DINETTE|decoreach|1||ea|kit||1||6-9|32-48|B|laminate|
CLG|Cabinet lighting|GALLEY|all|3||ea|kit||1||0.1-0.3|3-8|F|lamp|strip,switch,driver
CLB|Cabinet set label|BEDROOM|all|1||ea|kit||1||?|0.1-0.2|C|paper|
CWP|Wardrobe piece|BEDROOM|each|3||ea|kit||1||1.5-4|9-22|H|hardware|rail frame,shelf,divider
CVN|Vanity piece|WASHROOM|each|3||ea|kit||1||1-3|9-24|B|laminate|top,kick board,upstand
CDN|Dinette piece|DINETTE|each|4||ea|kit||1||1-4|6-19|H|hardware|seat board left,seat board right,back rail,corner post
CGP|Galley piece|GALLEY|each|5||ea|kit||1||0.5-3|5-18|H|hardware|plinth,end panel,filler,vent panel,back rail
";
