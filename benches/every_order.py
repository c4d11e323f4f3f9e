"""Makes a book to be proved for every order: 300 options, 100 rules, 3,000 conditions, 40 floorplans, 60,000 bill lines.

python3 benches/every_order.py target/bench/every-order && time lineward check target/bench/every-order --every-order
"""
import os
import random
import sys

random.seed(5)
d = sys.argv[1]
os.makedirs(d, exist_ok=True)
def w(n,rows): open(f'{d}/{n}.csv','w').write('\n'.join(','.join(map(str,r)) for r in rows)+'\n')
G=60; per=4
opts=[];groups=[('group','choose')]
for g in range(G):
    groups.append((f'G{g}', ['one','at most one'][g%2]))
    opts+= [(f'O{g}X{k}',f'G{g}') for k in range(per)]
opts+= [(f'S{i}','') for i in range(60)]
w('Groups',groups); w('Options',[('option','group')]+opts)
codes=[o for o,_ in opts]
F=40
w('Floorplans',[('floorplan','series')]+[(f'P{i}',f'R{i%5}') for i in range(F)])
off=[('floorplan','option','offer')]
for o,g in opts:
    std = g and o.endswith('X0') and int(g[1:])%2==0
    off.append(('*',o,'standard' if std else 'optional'))
for i in range(F):
    for o,g in random.sample(opts,20):
        if not o.endswith('X0'): off.append((f'P{i}',o,'not offered'))
w('Offers',off)
w('Packages',[('option','includes')]+[(f'S{i}',f'S{i+1}') for i in range(0,20,4)]+[(f'S{i}',f'S{i+2}') for i in range(0,20,4)])
# Rules join neighbours: fifty bring an option, fifty forbid one.
rules=[('when','adds','must','message')]
def pair():
    while True:
        a=random.randrange(len(codes)); b=(a+random.randrange(1,12))%len(codes)
        if not opts[a][1] or opts[a][1]!=opts[b][1]: return codes[a],codes[b]
for i in range(50):
    a,b=pair()
    rules.append((a,b,'',f'r{i}'))
for i in range(50):
    a,b=pair()
    rules.append((a,'',f'not {b}',f'm{i}'))
w('Rules',rules)
w('Lines',[('line','calendar'),('L1','M')]); w('Calendar',[('calendar','day','start','end'),('M','Mon-Fri','06:00','14:00')])
w('Takt',[('line','from','minutes'),('L1','2027-01-01',60)])
w('Stations',[('line','station','position')]+[('L1',f'T{i}',i+1) for i in range(20)])
w('Shops',[('shop','calendar'),('CAB','M')])
parts=[('part','uom','source','shop','minutes','weight','kind')]
for i in range(3000):
    parts.append((f'B{i}','ea','buy','','',round(random.random()*5,2),f'k{i%40}' if i<120 else ''))
for i in range(40): parts.append((f'M{i}','ea','make','CAB',random.randrange(5,60),'',''))
w('Parts',parts)
bills=[('parent','part','qty','station','when')]
def cond():
    a=random.randrange(len(codes)); b=(a+random.randrange(1,8))%len(codes)
    return random.choice([codes[a],codes[a],f'{codes[a]} and {codes[b]}',f'{codes[a]} or {codes[b]}',f'not {codes[a]}'])
conds=[cond() for _ in range(3000)]
for p in range(F):
    for j in range(1500):
        bills.append((f'P{p}',f'B{random.randrange(3000)}',random.randrange(1,5),f'T{random.randrange(20)}', random.choice(conds) if random.random()<.35 else ''))
    bills.append((f'P{p}',f'M{p}',1,'T3',''))
    for j in range(50): bills.append((f'M{p}',f'B{random.randrange(3000)}',1,'',random.choice(conds) if random.random()<.35 else ''))
w('Bills',bills)
w('Content',[('kind','floorplan','least','most','when','message')]+[(f'k{i}','*',0,3,'','') for i in range(40)])
w('Sequence',[('line','seq','unit','floorplan','options','done')]+[('L1',i+1,f'U{i}',f'P{i%F}','','yes') for i in range(10)])
w('Settings',[('key','value'),('as of','2027-01-04 06:00')])
