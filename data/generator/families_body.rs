//! The parts of the body: walls, roof, slide boxes, looms, windows, doors, roof top and outside.

/// See `families::COLUMNS` for what each column says.
pub const ROWS: &str = "
WFT|Wall frame timber|WALL-L,WALL-R|all|4||ft|kit||16-40*|0.08|0.3-0.5|0.4-0.8|B|timber|25 x 38,25 x 50,25 x 75,25 x 100
EFT|End frame timber|WALL-F,WALL-B|all|3||ft|kit||10-24|0.08|0.3-0.5|0.4-0.8|B|timber|25 x 38 planed,25 x 50 planed,25 x 75 planed
RFT|Roof frame timber|ROOF|all|3||ft|kit||18-40*|0.08|0.3-0.5|0.4-0.8|B|timber|32 x 45,32 x 60,32 x 90
WFM|Wall foam|WALL-L,WALL-R,ROOF|all|1||sheet|bulk|8|60-90 sqft*|0.05|2.6|13-17|B|foam|25 mm
EFM|End wall foam|WALL-F,WALL-B|all|1||sheet|bulk|8|34-46 sqft|0.05|2.9|14-18|B|foam|30 mm
WLM|Wall laminate|WALL-L,WALL-R|decoreach|1||sqft|kit||70-95*|0.06|0.12|0.8-1.2|B|laminate|
ELM|End wall laminate|WALL-F,WALL-B|decoreach|1||sqft|kit||40-52|0.06|0.12|0.8-1.2|B|laminate|
CLM|Ceiling laminate|ROOF|all|1||sqft|kit||110-130*|0.05|0.1|0.6-0.9|B|laminate|white
WSK|Wall skin|WALL-L,WALL-R|coloureach|1||sqft|kit||78-98*|0.04|0.16|1.4-1.9|B|skin|
ESK|End wall skin|WALL-F,WALL-B|coloureach|1||sqft|kit||44-56|0.04|0.16|1.4-1.9|B|skin|
WGL|Wall adhesive|WALL-L,WALL-R,WALL-F,WALL-B,ROOF|all|1||kg|bulk|25|3-5|0.03|1|4-6|K|glue|two-part
WST|Staple|WALL-L,WALL-R,WALL-F,WALL-B,ROOF|all|1||ea|bulk|5000|150-300||0.0004|0.002|C|fixing|32 mm
WBL|Wall backing block|WALL-L,WALL-R|each|5||ea|kit||1-4||0.3-1.1|1-4|B|timber|awning,lamp,cupboard,window,door
EBL|End wall block|WALL-F,WALL-B|each|2||ea|kit||1-4||0.3-1.1|1-4|B|timber|window,lamp
WLO|Wall loom|WALL-L,WALL-R|each|1||ea|kit||1||0.8-1.6|14-26|F|loom|
ELO|End wall loom|WALL-F,WALL-B|each|1||ea|kit||1||0.5-1|9-17|F|loom|
WFR|Window frame insert|WALL-L,WALL-R|each|3||ea|kit||1||0.6-1.4|5-12|H|mould|front,middle,rear
WCN|Wall corner extrusion|WALL-F,WALL-B|all|2||ft|kit||12-14|0.04|0.3|1.2-2|H|mould|left,right
RPL|Roof panel insert|ROOF|each|3||ea|kit||1||1-2.6|6-16|B|foam|vent,air unit,aerial
RLO|Roof loom|ROOF|each|2||ea|kit||1||0.7-1.4|12-22|F|loom|lamps,vents
SLM|Slide mechanism|SLBOX-L,SLBOX-B|all|2||ea|kit||1||18-22|140-180|H|slide|drive,rail
SLS|Slide seal|SLBOX-L,SLBOX-B|all|4||ft|kit||14-26|0.05|0.1-0.3|1-2.4|H|seal|bulb,wiper,corner,floor
SLF|Slide floor board|SLBOX-L,SLBOX-B|each|2||ea|kit||1||9-15|24-44|B|board|front,rear
SLR|Slide roof panel|SLBOX-L,SLBOX-B|each|2||ea|kit||1||5-9|22-38|B|skin|outer,inner
SLE|Slide end panel|SLBOX-L,SLBOX-B|coloureach|2||ea|kit||1||4-6|26-40|B|skin|left,right
SLT|Slide inside trim|SLBOX-L,SLBOX-B|decoreach|3||ft|kit||9-18|0.05|0.08|0.8-1.5|H|mould|fascia,corner,sill
SLH|Slide fitting|SLBOX-L,SLBOX-B|all|8||ea|kit||1-4||0.1-1.5|2-18|H|slide|roller,bracket left,bracket right,switch,controller,cable carrier,stop,lock
SLC|Slide screw|SLBOX-L,SLBOX-B|all|2||ea|bulk|500|40-80||0.004|0.02-0.05|C|fixing|5 x 40,5 x 60
SLG|Slide sealant|SLBOX-L,SLBOX-B|all|1||l|bulk|0.6|0.4-0.7|0.02|1.3|10-13|K|glue|grey
SBF|Slide box fastening|-|opt:SLIDE|5|SB1|ea|kit||2-6||0.1-0.6|1-5|H|slide|lag screw set,shim,wedge,lift eye,cover
SBS|Slide opening seal|-|opt:SLIDE|3|SB1|ft|kit||16-24|0.05|0.15|1.2-2.2|H|seal|inner,outer,sill
SRF|Rear slide fastening|-|opt:SLIDER|4|SB2|ea|kit||2-4||0.1-0.6|1-5|H|slide|bracket,shim,cover,seal set
WJT|Wall joint|-|each|6|WLS|ea|kit||2-8||0.1-0.6|0.8-4|H|hardware|base bracket,corner bracket,cover,shim,dowel plate,lift loop
WJS|Wall joint screw|-|all|3|WLS|ea|bulk|500|40-90*||0.005-0.01|0.03-0.08|C|fixing|6 x 80,6 x 100,6 x 120
WJL|Wall joint sealant|-|all|2|WLS|l|bulk|0.6|0.5-0.9*|0.02|1.3|9-12|K|seal|black,grey
EJT|End wall joint|-|each|5|WLE|ea|kit||2-6||0.1-0.5|0.8-4|H|hardware|left bracket,right bracket,cover,shim,clip
EJS|End wall sealant tape|-|all|2|WLE|ft|kit||14-26|0.04|0.02|0.2-0.4|K|seal|20 mm,30 mm
LMM|Main loom|ELK|each|3||ea|kit||1||2-4|34-70|F|loom|12 volt,230 volt,data
LMC|Loom clip|ELK|all|5||ea|bulk|500|20-60*||0.002-0.005|0.02-0.06|C|loom|small,medium,large,edge,tie
LMF|Electric fitting|ELK|each|14||ea|kit||1-4||0.05-0.9|1-19|F|electric|fuse box,fuse set,socket,double socket,switch,double switch,junction box,earth bar,inlet,consumer unit,usb socket,aerial socket,relay,terminal block
LMS|Loom sleeve|ELK|all|3||ft|kit||8-24*|0.04|0.03|0.2-0.5|F|loom|12 mm,20 mm,32 mm
BTS|Battery|-|opt:BATT|1|LOM|ea|kit||1||26-28|90-120|F|electric|
BTL|Lithium battery|-|opt:BATTLI|1|LOM|ea|kit||1||12-13|360-430|F|electric|
BTF|Battery fitting|-|all|5|LOM|ea|kit||1-2||0.1-2.2|2-60|F|electric|box,strap,isolator,charger,shunt
RFJ|Roof joint|-|each|5|ROF|ea|kit||2-8||0.1-0.6|0.8-4|H|hardware|edge bracket,corner,cover,clip,lift loop
RFM|Roof membrane|-|each|1|ROF|ea|sequence||1||21-34|110-170|B|roof|
RFS|Roof sealant|-|all|3|ROF|l|bulk|0.6|0.6-1.4*|0.02|1.3|8-13|K|seal|lap,edge,vent
CAP|End cap|-|coloureach|2|CAP|ea|kit||1||8-14|70-130|B|skin|front,rear
CPF|End cap fitting|-|each|6|CAP|ea|kit||1-6||0.1-0.6|0.8-5|H|hardware|bracket,clip,badge,handle,grille,seal
DEC|Outside stripe|-|coloureach|2|CAP|ea|kit||1||0.3-0.6|12-26|H|mould|left,right
ECR|Corner moulding|-|coloureach|3|CAP|ft|kit||14-18|0.05|0.2|1.4-2.4|H|mould|front,rear,roof
WIN|Window|-|each|6|WIN|ea|kit||1||4-9|45-110|J|window|front,galley,dinette,bedroom,washroom,rear
WNF|Window fitting|-|each|6|WIN|ea|kit||2-8||0.05-0.4|0.8-5|J|window|stay left,stay right,catch,catch plate,seal clip,drip strip
WNS|Window sealant tape|-|all|2|WIN|ft|kit||36-60*|0.04|0.02|0.2-0.4|K|seal|butyl,foam
WLT|Window latch|-|all|2|WIN|ea|kit||5-9||0.08-0.1|2-3|J|window|pattern A,pattern B
EDR|Entry door|-|coloureach|1|DOR|ea|sequence||1||17-22|135-190|J|door|
EDH|Entry door fitting|-|each|8|DOR|ea|kit||1||0.1-1.4|2-24|J|door|lock,key set,grab handle,fly screen,holdback,threshold,seal,hinge cover
LDR|Locker door|-|coloureach|2|DOR|ea|kit||1||2-4|26-44|J|door|front,side
LDF|Locker door fitting|-|each|4|DOR|ea|kit||2||0.1-0.4|2-7|J|door|lock,hinge,seal,stay
RAC|Roof air unit|-|opt:AC|1|RTP|ea|kit||1||32-34|390-450|D|air|
RAH|Roof air unit with heat|-|opt:ACHEAT|1|RTP|ea|kit||1||37-39|560-640|D|air|
RAF|Roof air fitting|-|opt:AC or ACHEAT|5|RTP|ea|kit||1||0.3-2.2|5-38|D|air|ceiling grille,gasket,bolt set,duct,controller
RVT|Roof vent|-|all|3|RTP|ea|kit||1||2-4|34-70|J|roof|large,small,fan
RVF|Roof fitting|-|each|7|RTP|ea|kit||1-3||0.1-0.8|2-16|J|roof|aerial,aerial cable,cable gland,vent cap,flashing,plate,drain
SPN|Solar panel|SOK!|opt:SOL1|1||ea|kit||1||7-8|80-110|F|electric|
SPB|Solar panel, large|SOK!|opt:SOL2|1||ea|kit||2||11-12|120-150|F|electric|
SOF|Solar fitting|SOK!|all|8||ea|kit||1-4||0.05-0.8|2-44|F|electric|controller,bracket,corner,cable red,cable black,gland,fuse,label
LMP|Outside lamp|-|all|11|EXT|ea|kit||1-2||0.1-0.6|3-21|F|lamp|tail left,tail right,side front,side middle,side rear,number plate,reverse,fog,entry,marker front,marker rear
EXF|Outside fitting|-|each|13|EXT|ea|kit||1-4||0.05-0.9|1-14|H|hardware|grab handle,water inlet,mains inlet cover,vent,door mirror plate,step lamp,gas vent,reflector,flap,badge,hook,drain cap,stone guard
EXS|Outside screw|-|all|4|EXT|ea|bulk|500|40-120*||0.003-0.006|0.03-0.09|C|fixing|stainless 4 x 20,stainless 4 x 30,stainless 5 x 30,stainless 5 x 50
EXR|Awning rail|-|each|2|EXT|ea|kit||1||2-4|22-38|H|mould|left,right
HBK|Hatch hardware|-|opt:FAMILY|3|EXT|ea|kit||1-2||0.2-0.7|3-12|H|hardware|frame,lock,hinge
BIK|Bike rack|-|opt:BIKE|1|EXT|ea|kit||1||9-10|90-115|H|hardware|
BKF|Bike rack fitting|-|opt:BIKE|3|EXT|ea|kit||2||0.3-1.2|4-12|H|hardware|rail,strap,backing plate
AWM|Awning|-|opteach:AWN|1|AWG|ea|kit||1||22-31|210-290|H|awning|
AWE|Electric awning|-|opteach:AWNE|1|AWG|ea|kit||1||29-38|420-540|H|awning|
AWF|Awning fitting|-|opt:AWN or AWNE|5|AWG|ea|kit||1-2||0.3-1.6|4-19|H|awning|bracket left,bracket right,gasket,bolt set,crank
AWC|Electric awning fitting|-|opt:AWNE|3|AWG|ea|kit||1||0.2-0.8|6-30|F|awning|motor cable,switch,wind sensor
";
