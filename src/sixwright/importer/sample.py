"""The small line that `sixwright new` lays down: invented, complete, and open to every change."""

from datetime import date, timedelta

QUOTE_DAYS = 180  # common practice, no source: quotes are given for about half a year

_LINE = """\
# What is sold, at what price, and the rules of the house. All figures here are invented:
# put your own in their place. A key that you leave out is unknown, never zero.
format = 1
id = "{id}"
name = "Crossing by lantern"
scale = "1:6"
currency = "USD"
locale = "en-GB"
seed = 1

[money]
development = "12000 USD"     # fixed, besides tooling
spares = 0.03                 # bought beyond need
overhead = 0.08               # on parts and labour
duty = 0.10                   # on the ex-works cost
reserve = 0.03                # of the price
margin_least = 0
surplus_most = "1500 USD"     # tied up in one part by its minimum

[money.labour]
rate = "84 CNY/h"

[money.fees]
share = 0.032
each = "0.30 USD"

[money.freight]
per_m3 = "210 USD"
volume_factor = 1.2
each = "1.20 USD"

[[rates]]
currency = "CNY"
per_unit = 7.20               # how many of it buy one unit of the line's currency
spread = 0.02                 # 95 of 100 times within this share of it

[[looks]]
id = "rain"
name = "In the rain"

[[editions]]
id = "crossing"
look = "rain"
name = "Crossing"
price = "169 USD"
cap = 400
assembly_minutes = 30
box_mm = [340, 240, 90]
figures = 1

[[editions]]
id = "night-crossing"
look = "rain"
name = "Night crossing"
extends = "crossing"
price = "199 USD"
cap = 400
assembly_minutes = 38
box_mm = [340, 260, 110]
figures = 1
public = [{{group = "hands", quantity = 4}}]   # what was announced
"""

_PARTS = """\
id,kind,look,name,group,fits,takes,grips,held,hazards,way,mass_g,length_mm,width_mm,height_mm,note
body,body,all,Seamless body,,,neck-8 wrist-4 ankle-6,,,none,body-yard,380,255,82,42,
head,head,rain,"Head, wet hair",,neck-8,,,,none,head-yard,26,41,31,37,
hand-grip,hand,all,Gripping hand,hands,wrist-4,,handle,,none,hand-grip-yard,4.0,24,17,14,
hand-open,hand,all,Open hand,hands,wrist-4,,,,none,hand-open-yard,4.2,33,15,9,
coat,garment,rain,Oiled coat,,,,,,none,coat-loft,21,180,110,6,
boot,shoe,all,Boot,,ankle-6,,,,none,boot-yard,9.5,47,17,52,
oar,prop,all,Oar,,,,,handle,none,oar-yard,16,240,28,6,
lantern,prop,rain,Lantern,,,,,handle,none,lantern-yard,11,34,19,19,no lamp and no cell in it
stand,stand,all,Stand,,,,,,none,stand-yard,68,110,110,150,
pack-small,packing,all,Tray and box,,,,,,none,pack-small-press,330,330,230,80,
pack-large,packing,all,"Tray and box, large",,,,,,none,pack-large-press,410,330,250,100,
"""

_CONTENTS = """\
sells,part,quantity,optional,note
crossing,body,1,,
crossing,head,1,,
crossing,hand-grip,2,,
crossing,coat,1,,
crossing,boot,2,,
crossing,oar,1,,
crossing,stand,1,,
crossing,pack-small,1,,
night-crossing,body,1,,
night-crossing,head,1,,
night-crossing,hand-grip,2,,
night-crossing,hand-open,2,,
night-crossing,coat,1,,
night-crossing,boot,2,,
night-crossing,oar,1,,
night-crossing,lantern,1,,
night-crossing,stand,1,,
night-crossing,pack-large,1,,
"""

_ORDERS = """\
sells,quantity,note
crossing,300,assumed
night-crossing,300,assumed
"""

_WAYS = """\
id,part,maker,process,currency,tool,tooling,minimum,yield,minutes,lead_days,valid_until,note
body-yard,body,yard,silicone skin over a frame,CNY,,36000,500,1,4,60,{valid},
head-yard,head,yard,rotocast,CNY,,11800,300,1,28,45,{valid},painted by hand
hand-grip-yard,hand-grip,yard,soft PVC,CNY,,5200,500,1,5,45,{valid},
hand-open-yard,hand-open,yard,soft PVC,CNY,,5200,500,1,5,45,{valid},
coat-loft,coat,loft,sewn,CNY,,1200,300,1,0,40,{valid},
boot-yard,boot,yard,soft PVC,CNY,,14500,500,1,5,45,{valid},
oar-yard,oar,yard,ABS,CNY,,6200,500,1,4,45,{valid},
lantern-yard,lantern,yard,ABS,CNY,,5400,400,1,6,45,{valid},
stand-yard,stand,yard,acrylic and rod,CNY,,4200,300,1,0,30,{valid},
pack-small-press,pack-small,press,PET tray and board box,CNY,,4400,300,1,0,30,{valid},
pack-large-press,pack-large,press,PET tray and board box,CNY,,4800,300,1,0,30,{valid},
"""

_PRICES = """\
way,from_quantity,unit_price,note
body-yard,500,196,
body-yard,1000,182,
head-yard,300,15.5,
hand-grip-yard,500,4.7,
hand-open-yard,500,4.6,
coat-loft,300,92,
boot-yard,500,10.8,
oar-yard,500,9.2,
lantern-yard,400,12.4,
stand-yard,300,11.5,
pack-small-press,300,29,
pack-large-press,300,34,
"""


def sample_files(*, id_: str, today: date) -> dict[str, str]:
    """The files of the small line, by name.

    Parameters
    ----------
    id_
        The line's id.
    today
        The day it is made; its quotes stand for half a year from then.
    """
    valid = (today + timedelta(days=QUOTE_DAYS)).isoformat()
    return {
        "line.toml": _LINE.format(id=id_),
        "parts.csv": _PARTS,
        "contents.csv": _CONTENTS,
        "orders.csv": _ORDERS,
        "ways.csv": _WAYS.format(valid=valid),
        "prices.csv": _PRICES,
    }
