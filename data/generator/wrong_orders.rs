//! The small second book: eight units, three of them ordered wrongly, and nothing else amiss.

use std::error::Error;
use std::fs;
use std::path::Path;

const TABLES: [(&str, &str); 16] = [
    (
        "Settings",
        "key,value
plant,\"Alder Fen Works, eight units with three wrong orders\"
as of,2027-09-13 14:30
stores calendar,STORES
receipts at,10:00
one person lifts,25
",
    ),
    (
        "Calendar",
        "calendar,day,start,end,open
MAIN,Mon-Fri,06:00,14:30,
MAIN,Mon-Fri,10:00,10:30,no
STORES,Mon-Fri,04:30,14:30,
",
    ),
    ("Lines", "line,name,calendar,last move\nL1,Alder line,MAIN,2027-09-13 14:30\n"),
    ("Takt", "line,from,minutes\nL1,2027-09-01,60\n"),
    (
        "Stations",
        "line,station,position,name,deliver ahead
L1,CHS,1,Chassis,60
L1,GAL,2,Galley,60
L1,RTP,3,Roof top,60
L1,EXT,4,Outside,60
",
    ),
    (
        "Floorplans",
        "floorplan,name,series
DUNLIN 15,\"Dunlin, two berths\",COMPACT
CURLEW 25,\"Curlew, six berths\",FAMILY
",
    ),
    (
        "Parts",
        "part,description,uom,source,location,issue,pack quantity,supplier,lead days,cost,weight
AXL-01,Axle with brakes,ea,buy,A-01-1,sequence,,Withy Axles,20,310,58
F90-01,Fridge 90 l,ea,buy,D-01-1,kit,,Osier Appliances,25,280,28
F19-01,Fridge 190 l,ea,buy,D-01-2,kit,,Osier Appliances,25,600,48
RAC-01,Roof air unit,ea,buy,D-02-1,kit,,Heron Quay Air and Heat,20,420,33
TVS-01,Television 24,ea,buy,F-01-1,kit,,Thrift Electrics,12,135,4.5
TVB-01,Television 32,ea,buy,F-01-2,kit,,Thrift Electrics,12,190,6.5
BIK-01,Bike rack,ea,buy,H-01-1,kit,,Sedge Hardware,10,98,9.6
SRF-01,Rear slide cover,ea,buy,H-02-1,kit,,Peat Cut Slide Gear,18,74,7.2
SCR-01,Outside screw 4 x 30,ea,buy,C-01-1,bulk,500,Teasel Fixings,4,0.04,0.004
",
    ),
    (
        "Bills",
        "parent,part,qty,station,when
DUNLIN 15,AXL-01,1,CHS,
DUNLIN 15,F90-01,1,GAL,FR90
DUNLIN 15,TVS-01,1,GAL,TV24
DUNLIN 15,RAC-01,1,RTP,AC
DUNLIN 15,BIK-01,1,EXT,BIKE
DUNLIN 15,SCR-01,60,EXT,
CURLEW 25,AXL-01,2,CHS,
CURLEW 25,F90-01,1,GAL,FR90
CURLEW 25,F19-01,1,GAL,FR190
CURLEW 25,TVS-01,1,GAL,TV24
CURLEW 25,TVB-01,1,GAL,TV32
CURLEW 25,RAC-01,1,RTP,AC
CURLEW 25,SRF-01,1,EXT,SLIDER
CURLEW 25,BIK-01,1,EXT,BIKE
CURLEW 25,SCR-01,110,EXT,
",
    ),
    (
        "Options",
        "option,name,group
FR90,\"Fridge, 90 litres\",FRIDGE
FR190,\"Fridge, 190 litres\",FRIDGE
AC,Roof air unit,
TV24,\"Television, 24 inch\",SCREEN
TV32,\"Television, 32 inch\",SCREEN
SLIDER,Rear slide box,
BIKE,Bike rack,
",
    ),
    ("Groups", "group,choose\nFRIDGE,one\nSCREEN,at most one\n"),
    (
        "Offers",
        "floorplan,option,offer
*,FR90,standard
*,FR190,optional
DUNLIN 15,FR190,not offered
*,AC,optional
*,TV24,optional
*,TV32,optional
DUNLIN 15,TV32,not offered
*,SLIDER,optional
DUNLIN 15,SLIDER,not offered
*,BIKE,optional
",
    ),
    ("Rules", "when,adds,must,message\nBIKE,,not SLIDER,The rear slide box leaves no room for a bike rack\n"),
    (
        "Sequence",
        "line,seq,unit,floorplan,options,at
L1,10,AF9001,DUNLIN 15,AC,GAL
L1,20,AF9002,CURLEW 25,FR190 AC TV32 SLIDER,CHS
L1,30,AF9003,DUNLIN 15,TV24 BIKE,
L1,40,AF9004,DUNLIN 15,FR190 AC,
L1,50,AF9005,CURLEW 25,AC TV24 TV32,
L1,60,AF9006,CURLEW 25,TV24 BIKE,
L1,70,AF9007,CURLEW 25,FR190 SLIDER BIKE,
L1,80,AF9008,DUNLIN 15,,
",
    ),
    (
        "Stock",
        "part,qty,location,station
AXL-01,10,A-01-1,
F90-01,5,D-01-1,
F19-01,2,D-01-2,
RAC-01,4,D-02-1,
TVS-01,4,F-01-1,
TVB-01,2,F-01-2,
BIK-01,4,H-01-1,
SRF-01,2,H-02-1,
SCR-01,1000,C-01-1,
SCR-01,120,,EXT
",
    ),
    ("Receipts", "purchase order,part,qty,due,supplier\n61001,AXL-01,4,2027-09-16,Withy Axles\n"),
    ("Waves", "wave,time,pick minutes\nfirst,05:30,60\nsecond,08:00,60\nthird,11:00,60\n"),
];

/// Writes the small book into a folder.
pub fn write(folder: &Path) -> Result<(), Box<dyn Error>> {
    fs::create_dir_all(folder)?;
    for (name, text) in TABLES {
        fs::write(folder.join(format!("{name}.csv")), text)?;
    }
    Ok(())
}
