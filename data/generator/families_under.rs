//! The parts of the underside: chassis, axles, pipes, gas, tanks and floor.

/// See `families::COLUMNS` for what each column says.
pub const ROWS: &str = "
FRM|Chassis main member|-|each|2|CHS|ea|sequence||1||38-62|90-160|A|steel|left,right
CRS|Chassis cross member|-|each|6|CHS|ea|kit||1-3||4-9|9-22|A|steel|front,second,third,fourth,fifth,rear
DRB|Drawbar|-|each|1|CHS|ea|sequence||1||26-33|70-110|A|steel|
CPL|Coupling head|-|all|2|CHS|ea|kit||1||3-4|24-40|A|running|with damper,cover
JCK|Corner steady|-|all|2|CHS|ea|kit||2||4-6|14-22|A|running|front,rear
JKE|Power jack|-|opt:JACKE|4|CHS|ea|kit||1||6-8|60-85|A|running|front left,front right,rear left,rear right
JKC|Power jack cable|-|opt:JACKE|3|CHS|ea|kit||2||0.4-0.9|5-9|F|loom|long,short,control
JWH|Jockey wheel|-|all|2|CHS|ea|kit||1||2-5|16-28|A|running|wheel,clamp
STP|Entry step|-|all|2|CHS|ea|kit||1||5-9|30-48|A|steel|fixed,folding
BRK|Bracket, chassis|-|each|10|CHS|ea|kit||2-6||0.3-1.6|1.8-6|A|steel|battery tray,spare wheel,tank front,tank rear,step,cable,pipe,gas locker,belly pan,lamp bar
BLT|Bolt, chassis|-|all|9|CHS|ea|bulk|200|8-32*||0.03-0.09|0.09-0.35|C|fixing|M8 x 25,M8 x 40,M8 x 60,M10 x 30,M10 x 50,M10 x 80,M12 x 40,M12 x 60,M12 x 100
NUT|Lock nut|-|all|3|CHS|ea|bulk|500|24-60*||0.005-0.02|0.03-0.08|C|fixing|M8,M10,M12
WSR|Washer|-|all|4|CHS|ea|bulk|500|24-60*||0.002-0.01|0.01-0.03|C|fixing|M8,M10,M12,M12 wide
AXL|Axle with brakes|-|each|1|AXL|ea|sequence||1/1/1/2||52-66|280-390|A|running|
SUS|Axle plate|-|each|2|AXL|ea|kit||1/1/1/2||4-6|15-28|A|running|left,right
BRC|Brake cable|-|each|2|AXL|ea|kit||1||0.6-1.2|7-12|A|running|long,short
BRR|Brake rod|-|each|1|AXL|ea|kit||1||2-3|11-17|A|running|
HUB|Hub part|-|all|4|AXL|ea|kit||2/2/2/4||0.2-1.1|4-19|A|running|cap,seal,bearing,split pin set
WHS|Steel wheel with tyre|-|each|1|WHL|ea|sequence||2/2/2/4||16-19|58-80|A|running|
WHA|Alloy wheel with tyre|-|opteach:ALLOY|1|WHL|ea|sequence||2/2/2/4||14-17|105-150|A|running|
WHN|Wheel fitting|-|all|3|WHL|ea|kit||2/2/2/4||0.1-0.5|1.2-6|A|running|nut set,valve,centre cap
SPW|Spare wheel carrier|-|all|3|WHL|ea|kit||1||0.4-9|6-34|A|running|frame,clamp,lock
MUD|Mudguard|-|each|2|WHL|ea|kit||1||1.5-2.6|11-19|H|mould|left,right
PIP|Water pipe|PLK|all|6||ft|kit||9-30*|0.04|0.03-0.06|0.3-0.7|E|pipe|12 mm blue,12 mm red,15 mm blue,15 mm red,drain 28 mm,drain 40 mm
ELB|Pipe elbow|PLK|all|8||ea|kit||2-8*||0.01-0.06|0.4-1.6|E|pipe|12 mm,15 mm,12 to 15,drain 28,drain 40,drain 28 swept,tap end,wall plate
TEE|Pipe tee|PLK|all|6||ea|kit||1-5*||0.02-0.08|0.6-2|E|pipe|12 mm,15 mm,15 to 12,drain 28,drain 40,with valve
VLV|Water valve|PLK|all|6||ea|kit||1-2||0.06-0.3|3-14|E|pipe|stop,check,drain,bypass,mixer,relief
CLP|Pipe clip|PLK|all|4||ea|bulk|250|12-40*||0.004-0.01|0.04-0.12|C|pipe|12 mm,15 mm,28 mm,40 mm
MNF|Water manifold|PLK|each|2||ea|kit||1||0.4-0.8|12-24|E|pipe|cold,warm
HSE|Pipe set, cut and marked|PLK|each|6||ea|kit||1||0.4-1.5|5-14|E|pipe|galley cold,galley warm,washroom cold,washroom warm,tank feed,drain
PMP|Water pump|-|all|3|PLU|ea|kit||1||0.5-1.8|9-46|E|pipe|pump,strainer,mount
HTR|Water heater|-|each|1|PLU|ea|kit||1||12-15|210-290|D|appliance|
HTF|Water heater fitting|-|each|5|PLU|ea|kit||1||0.2-1.2|3-21|E|pipe|flue,grille,seal,bracket,drain tap
GLB|Gas locker box|GLK!|all|1||ea|kit||1||5-7|32-44|E|gas|
GLF|Gas locker fitting|GLK!|all|7||ea|kit||1-2||0.2-1.6|3-24|E|gas|strap,floor mat,vent,label,bottle plate,hose,hose tail
GRG|Gas regulator|GLK!|all|2||ea|kit||1||0.7-0.9|26-34|E|gas|old thread,new thread
GPI|Gas pipe|-|each|4|GAS|ea|kit||1||0.5-1.4|8-19|E|gas|main,hob branch,fridge branch,heater branch
GVL|Gas valve|-|all|5|GAS|ea|kit||1-2||0.1-0.3|5-13|E|gas|hob,fridge,heater,water heater,test point
GCL|Gas pipe clip|-|all|2|GAS|ea|bulk|200|10-24*||0.005-0.01|0.06-0.15|C|gas|8 mm,10 mm
TKF|Fresh water tank|-|each|1|TNK|ea|sequence||1||7-11|60-105|A|tank|
TKW|Waste water tank|-|each|2|TNK|ea|kit||1||5-9|50-90|A|tank|galley,washroom
TKS|Tank strap|-|each|4|TNK|ea|kit||2-4||0.4-0.9|2-5|A|tank|short,medium,long,plate
TKT|Tank fitting|-|each|9|TNK|ea|kit||1-3||0.05-0.3|1-7|E|tank|filler neck,breather,level probe,drain tap,outlet,grommet,overflow,filler cap,dump valve
THM|Tank heating|-|opt:TANKH|6|TNK|ea|kit||1-2||0.3-1.2|8-36|F|electric|fresh pad,galley pad,washroom pad,thermostat,harness,fuse
PAN|Belly pan|-|each|3|TNK|ea|kit||1||4-8|22-40|B|skin|front,middle,rear
DCK|Floor deck|-|each|3|FLR|ea|sequence||1||22-34|60-110|B|board|front,middle,rear
FIN|Floor insulation|-|each|2|FLR|sheet|bulk|6|2-4*||3-4|14-22|B|foam|under deck,edge
FIX|Extra floor insulation|-|opt:FLOORI|4|FLR|sheet|bulk|6|2-5||3-4|19-31|B|foam|front,middle,rear,hatch
FBT|Floor bearer|-|all|5|FLR|ft|kit||10-26*|0.06|0.5-0.9|0.5-1.1|B|timber|38 x 38,45 x 38,50 x 38,63 x 38,75 x 38
FSC|Floor screw|-|all|4|FLR|ea|bulk|1000|60-150*||0.004-0.008|0.02-0.06|C|fixing|5 x 50,5 x 70,6 x 60,6 x 80
FGL|Floor adhesive|-|all|2|FLR|kg|bulk|20|1.2-2.6*|0.03|1|6-11|K|glue|slow,fast
VNY|Vinyl floor covering|-|decoreach|1|COV|sqft|kit||120-150*|0.06|0.07-0.08|0.9-1.4|B|floor|
CPT|Carpet piece|-|decoreach|2|COV|ea|kit||1||2-5|24-60|G|floor|front,rear
COV|Floor covering trim|-|all|6|COV|ft|kit||4-18*|0.05|0.05-0.2|0.7-2.4|H|mould|door bar,step nose,edge strip,cove,joint strip,hatch frame
CGL|Covering adhesive|-|all|2|COV|kg|bulk|15|1.5-3*|0.03|1|5-9|K|glue|spray base,trowel
";
