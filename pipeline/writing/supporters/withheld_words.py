"""Wording that never goes out, whatever the book's settings say: positions, numbers, stores, money, health, claims.

What stands here of how people speak is common practice, no source. A line is one way of putting it, as a regular
expression: ``words`` are whole words in any case, ``shapes`` stand as they are, with capitals where they have them.
A line that begins with "+ " goes on with the one before it.
"""

import re
from collections.abc import Iterator

from pipeline.writing.supporters.withheld_troubles import MORE, TROUBLES

_PLACE_FOR = {
    "@number": (
        r"(?:\d+[a-z]?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|twenty|thirty|forty)"
    ),
    "@digit": r"(?:zero|oh|nought|one|two|three|four|five|six|seven|eight|nine|double|\d)",
    "@letter": (
        r"(?:alfa|alpha|bravo|charlie|delta|echo|foxtrot|golf|hotel|india|juliett?|kilo|lima|mike|november|oscar|papa"
        r"|quebec|romeo|sierra|tango|uniform|victor|whisky|whiskey|x-?ray|yankee|zulu)"
    ),
    "@keeper": (
        r"(?:racks?|shel(?:f|ves)|box(?:es)?|bags?|pallets?|stands?|bays?|rooms?|bins?|crates?|drawers?|lockers?|trays?"
        r"|cupboards?|cabinets?|containers?|cages?|trolleys?|tins?|jars?|tubs?|hangars?|sheds?|hooks?|pegs?|sacks?)"
    ),
    "@kept": (
        r"(?:\w+'s|\w+'re|is|are|was|were|been|now|goes|went|gone|go|put|hung|hangs?|lives?|sits?|sitting|stands?"
        r"|standing|leans?|leaning|lies|lying|laid|left|stood|parked|propped|moved|stays?|staying|rests?|resting)"
    ),
    "@spot": (
        r"(?:walls?|mezzanine|trestles|rafters?|corner|doorway|paint[\s-]?shop|machine[\s-]?shop|(?:work[\s-]?)?bench"
        r"|gantry|racks?|racking|shelving|stores?|stands?|pallets?|trolley|landing|gallery|lean-to|canteen|office"
        r"|spray booth|stairs|staircase|hooks?|pegs?)"
    ),
    "@thing": r"(?:it|them|this|these|the \w+(?: \w+)?)",
    "@by": r"(?:in|on|onto|under|by|behind|against|at|along|beside|below|next to)",
    "@hide": r"(?:shed|loft|garage|barn|lock-?up|container|cellar|basement|attic|outhouse|annexe?|store-?room)",
    "@fly": r"(?:fly|flight|flying|take to the (?:air|skies)|take-?off)",
    "@at": r"(?:in|on|under|at|behind|by)",
    "@any_of_her": r"(?:(?:her|its|the|a|first|next|maiden|test|another|more) )*",
    "@whose": r"(?:his|her|my|their|your)",
    "@body": r"(?:back|knees?|hips?|heart|chest|eyes?|lungs?|shoulders?|wrists?|ankles?|fingers?|thumbs?|foot|feet)",
    "@sum": (
        r"(?:(?:\d[\d,.]*|an?|and|odd|some|few|couple|of|half|one|two|three|four|five|six|seven|eight|nine|ten|eleven"
        r"|twelve|\w+teen|\w+ty|hundred|thousand)[\s-]+){0,5}"
        r"(?:\d[\d,.]*|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|(?:twen|thir|for|fif|six"
        r"|seven|eigh|nine)ty|hundreds?|thousands?|million|grand)"
    ),
    "@large": r"(?:(?:\w+[\s-]+){0,2}(?:hundreds?|thousands?|million|grand))",
    "@gathering": r"(?:raffle|tombola|collection|tin|kitty|(?:cake|jumble) (?:sale|stall)|auction|appeal)",
    "@will": r"(?:will|'ll|shall|could|should|would|might|may|going to|hope to|want to|about to|see|watch)",
    "@season": r"(?:spring|summer|autumn|winter|year|season|christmas|easter|month|week|weekend|@month)",
    "@month": (r"(?:january|february|march|april|may|june|july|august|september|october|november|december)"),
    "@door": (
        r"(?:(?:side|back|front|rear|main|big|small|hangar|shed) (?:doors?|gates?|windows?)|gates?|windows?|sheds?"
        r"|hangars?|buildings?|workshops?|barns?|place)"
    ),
    "@nobody": r"(?:nobody|no[\s-]one|not a soul|none of us)",
    "@landmark": (
        r"(?:church|chapel|pub|inn|school|post office|village|station|mill|crossroads|farm shop|quarry|dairy|bridge)"
    ),
    "@authority": (
        r"(?:inspectors?|surveyors?|examiners?|assessors?|authorit(?:y|ies)|ministry|(?:wo)?man from the \w+)"
    ),
    "@outhouse": (
        r"(?:hangar|shed|container|workshop|office|lockers?|tool[\s-]?(?:box|chest|store)|van|car|stores?|place"
        r"|building|cabin|barn|unit|garage|museum|shop|yard)"
    ),
    "@street": r"(?:road|street|lane|avenue|drive|close|crescent|terrace)",
}

_WORDS = {
    "a position on the map": r"""
        \d{1,3}\s?(?:°|degrees?|deg)\s?(?:\d{1,2}\s?(?:'|min)|north|south|east|west|[nsew])
        latitude|longitude|lat/long|grid (?:reference|square)|what3words|plus code|coordinates|gps
        [23456789cfghjmpqrvwx]{4,8}\+[23456789cfghjmpqrvwx]{2,3}
    """,
    "an address": r"""
        \S+@\S+\.\w+
        https?:.*|www\..*|postcode
        (?:at|dot) (?:co|com|org)
        \d+[a-z]?,?\s+(?:\w+\s){1,2}@street
        \w+ at \w+(?: dot \w+)+|\w+ dot (?:com|org|net|uk|example)
        turn (?:left|right) (?:after|at|by|past|before|into|off)
        (?:behind|opposite|next to|beside|past|after|near|by|round the back of) the (?:\w+ )?@landmark
        (?:at|in|behind|by|near) the old (?:\w+ )?@landmark
    """,
    "a telephone number": r"""
        (?:\+44\s?|0)\d{2,4}[\s-]?\d{3}[\s-]?\d{3,4}
        (?:phone|ring|text) (?:me|us|him|her|them) on
        (?:mobile|tele)?phone number
    """,
    "a tag, part or serial number": r"""
        [a-z]{1,3}-?\d{3,}
        [a-z]{1,4}\d+-?\d*[a-z]+\d*
        \d{6,}|\d{1,4}-\d{3,}
        @digit(?:[\s,-]+@digit){2,}
        @letter(?:[\s,-]+@letter)*(?:[\s,-]+@digit){2,}
        (?:serial|part|tag|label|drawing|works|batch|registration|stock|airframe) (?:numbers?\b|nos?\b\.?\s?\d)
        (?:mod|job|model|engine|plate|frame|chassis) (?:numbers?\b|nos?\b\.?\s?\d)
        (?:no|number)\.?\s?\d{3,}|\d{5}(?! (?:rivets|bolts|screws|nuts|holes|hours|people|visitors|pieces))
        s/n|p/n|registration|serial
        (?:tag|label|ticket|docket)(?:ged|led)?\s+(?:(?:as|no|number)\.?\s+)?@number
    """,
    "a storage place": r"""
        @keeper\s+(?:(?:number|no\.?|letter)\s+)?\d+[a-z]?(?! (?:times|days|hours|metres|feet|inches))
        (?:@keeper|tubes?|rolls?)\s+(?:(?:number|no\.?|letter)\s+)?[a-z]-?\d+
        @keeper\s+(?:(?:number|no\.?|letter)\s+)?@number(?! (?:of|deep|high|people|men|\w+s)\b)(?!-)
        @keeper-\d+
        (?:top|bottom|middle|second|third|lower|upper|left|right)[\s-]+shel(?:f|ves)
        (?:the|on a|our) shelf
        (?:in|into|on|onto|under|behind|from|inside) (?:(?:the|a|an|our|my|that) )?(?:\w+ )?@hide
        (?:is|are|was|were|been|'s|'re|now|being) (?:kept|stored|stowed|hidden|stashed|locked) @at
        (?:we|they|somebody|i) (?:have )?(?:stored|stowed|hid|stashed|locked) (?:it|them|this|these|the \w+) @at
        keep (?:it|them|this|these) (?:in|on|under|at|behind) (?:the|a|our|my)
        (?:the|spare|our|front door) keys?(?= (?:is|are|hangs?|lives?|by|under|in|on|to the|for the))
        spare key|key safe|alarm code|door code|padlock|under the mat
        (?:under|on|onto|below|above|beneath) (?:the|our) mezzanine
        (?:by|against|along|on|near|beside|towards) (?:the|our) (?:far|back|end|side|left|right)(?:[\s-]hand)? wall
        @kept (?:@thing )?(?:(?:up|down|over|out|away|back) )?@by (?:the|our) (?:\w+ ){0,2}@spot
        (?:hung|hanging) up (?:in|on|by|from|under) (?:the|our)|(?:lives|is living) @by (?:the|our)
        on (?:the|our) (?:blue|red|green|yellow|back|far|end|big) (?:rack|pallet|trolley|shelving)
    """,
    "keys, alarms or when nobody is there": r"""
        pass-?words?|passcodes?|pin (?:number|code)s?|log-?ins?|user ?names?|wi-?fi (?:code|key|name)
        (?:gate|door|lock|safe|alarm|key|entry|access|hangar|shed)[\s-](?:codes?|combinations?)
        (?:codes?|combinations?) (?:of|for|to|on) the (?:\w+ )?(?:door|gate|lock|safe|alarm|shed|hangar)
        keys?(?:'s| is| are| hangs?| lives?| sits?| stays?| goes| stuck)(?: \w+)? (?:under|behind|in|on|above
          + |beneath|by|with)
        alarms?(?:'s| is| are| isn't| doesn't| does not| won't| has been| was)(?: \w+)? (?:off|not|out|broken
          + |only|never|work|set)
        no (?:burglar |working )?alarm|burglars?|cctv|security (?:cameras?|lights?|systems?|guards?)
        cameras? (?:over|on|at|above|by) the (?:\w+ )?(?:door|gate|entrance)
        no locks? (?:on|to) (?:the|any|our)|looks locked
        no (?:bolts?|key) (?:on|to|for) the (?:\w+ )?(?:door|gate|window|shed|hangar)s?
        (?:never|don't|do not|nobody|forget to|forgot to) locks? (?:up|it|them|the|our)|entry (?:numbers?|codes?)
        watch-?man|dummy cameras?
        cameras (?:are|do|don't)|(?:get|got|climb|let yourself) in(?:to the \w+)? (?:through|by|over) the
        @door(?: \w+){0,4} (?:and it opens|unlocked|(?:not|never|looks|isn't|hardly|left) (?:\w+ )?(?:locked
          + |open)|no lock)
        @door(?: \w+){0,4} (?:doesn't|does not|don't|do not|won't|will not|never|can't|cannot)(?: \w+)? (?:shut
          + |lock|close)
        leave (?:it|the @door) (?:unlocked|open)
        @nobody (?:is|are|'s|will be|'ll be|comes?|goes)(?: \w+)? (?:there|here|about|around|in|near|by|on site
          + |at|looks?|watch\w*)
        there(?:'s| is| will be) @nobody
        (?:everybody|everyone|we all|the (?:whole )?team|we)(?:'re| is| are| will be)(?: all)? (?:away
          + |on holiday)(?= )
        (?:hangar|shed|place|building|site|barn|workshop)(?:'s| is| are| stands?| will be)(?: \w+)? (?:empty
          + |deserted|unattended|unguarded)
    """,
    "a claim about safety or airworthiness": r"""
        air[\s-]*worth\w*|flight[\s-]*worth\w*
        (?:un[\s-]?)?safe(?:ly|ty|r|st)?|certif\w*
        (?:fit|fitness|ready|set|due|back|clear(?:ed|ance)?|able|good|passed|okay|ok|fine) (?:to|for) @any_of_her@fly
        (?:her|its|a|another) (?:(?:first|next|maiden|test) )?flights?(?= (?:is|will|soon|this))
        (?:carry|take) (?:passengers|people) (?:up|again)|back in(?:to)? the (?:air|sky)
        fit(?:ness)?[\s-]+for[\s-]+(?:service|purpose|use)|(?:flight|service)[\s-]ready
        (?:un)?serviceab\w*|approv(?:ed|al)
        pass(?:ed|es)? (?:its|their|all|every|with|inspections?|tests?|muster|first)(?: \w+)?
        pass(?:ed|es)? the (?:inspections?|tests?|checks?|examiner|inspector)
        (?:inspection|tests?|it|wing|joint|spar|leg) pass(?:ed|es)
        legal(?:ly)?|licen[cs]ed|warrant(?:y|ed)|guarantee\w*|compl(?:y|ies|iant|iance)|reliab\w*
        sound (?:condition|order|throughout|as ever|and)
        (?:is|are|was|were|all|perfectly|structurally|still) sound
        sign(?:ed|s|ing)?[\s-]*(?:(?:it|them|that) )?off|release certificate|released? (?:to|for|into) service
        (?:good|better|well|strong) (?:as|than) (?:new|the day|ever)|as new|like new|\w+er than new
        100\s?(?:%|per\s?cent)
        (?:inspector|surveyor|examiner|engineer|authority) (?:(?:is|was|has|had) )*(?:happy|pleased|satisfied|agreed)
        (?:has|have|had) (?:passed|signed for|cleared) (?:it|them|this|that|the \w+)|signed for (?:it|the|them)
        zero[\s-]tim\w*|fault[\s-]?(?:free|less)|nothing(?: \w+)? wrong
        no (?:defects?|faults?|problems?|concerns?|risks?)|risk[\s-]free
        (?:perfect|good|excellent|first[\s-]class|mint|great|fine|lovely) (?:condition|order|nick|shape|health)
        (?:up to|meets?|within|in) (?:(?:the|all|its|manual's|maker's) )*(?:specs?|specifications?|requirements?)
        (?:up to|meets?|within|in) (?:(?:the|all|its|manual's|maker's) )*(?:standards?|limits?|tolerance)
        (?:can|could|will|would|should|may|must) (?:(?:now|soon|safely) )*fly
        won't (?:fail|break|let us down|let go)
        (?:inspected|checked|tested) and (?:(?:found|all|is|was) )*(?:good|ok|okay|fine|passed|correct|clear)
        good for another|trust (?:it|your life)
        (?:trust|bet|stake)(?: \w+){0,4} (?:your|my|our) (?:life|lives|neck|shirt)
        @will (?:\w+ ){0,3}(?:fly|flying|airborne|aloft|overhead)
        @will (?:\w+ ){0,3}(?:take to the (?:air|sky|skies)|take wing|(?:back |up )*in the (?:air|sky|skies)|up there)
        (?:have|get|put|see|want) (?:her|it|them)(?: \w+){0,2} (?:airborne|flying|fly|overhead|aloft
          + |in(?:to)? the (?:air|sky))
        back (?:up )?(?:where (?:she|it) belongs, )?(?:in the (?:air|sky)|up there)
        (?:she|the aircraft) (?:flies|is flying)|(?:and|until|till|before|when|day) (?:she|it) flies
        (?:fly|flying|flight|airborne|in the air|in the sky|aloft|up there) (?:again )?(?:by|before|next|this
          + |in) (?:\w+ ){0,3}@season
        (?:i|we|anybody|anyone|you)(?:'d| would|'ll| will)(?: \w+)? (?:fly|go up) (?:in|with) (?:it|her|that|this)
        (?:strong|stout|tough|sound|stiff|tight|saf|sturdi|fitt|trust)\w*er than|more (?:\w+ly )?solid than
        better than (?:when|before|ever|new|original|(?:at )?the (?:factory|makers?|original|day)|(?:it
          + |she) (?:ever )?(?:was|were|left|came|did))
        (?:will|'ll|can|could|shall) (?:never|not ever)(?: \w+)? (?:come (?:off|loose|apart)|fail|break|give
          + |let|fall|crack|bend)
        won't (?:come (?:off|loose|apart)|give|crack|bend|ever)
        (?:will|'ll|would) (?:see us all out|outlast|outlive|last (?:for|another|us|a)|hold (?:for|up))|outlasts?
        outlives?
        as (?:sound|strong|safe|solid|good) as (?:a|an|the|any|ever|it|new)|up to the (?:job|task|work)
        for (?:another|the next) (?:\w+[\s-]){1,3}(?:years|seasons|hours|decades)|in the (?:clouds|skies)
        with (?:honours|distinction|flying colours)|(?:single|one|any) (?:fault|flaw|defect|weakness)
        (?:nothing|no need|no reason|no cause|needn't|not to|don't)(?: \w+){0,2} (?:worry|worries|fret|fear)(?= |$|\W)
        (?:good|fit|fine|right|set) for (?:years|decades|ever|life|many|a (?:lifetime|hundred|thousand)
          + |(?:the )?next \w+)
        (?:nothing|not a thing|isn't a thing|not one thing)(?: \w+){0,2} (?:the matter|wrong|amiss) with|clean bill
        @authority(?: \w+){0,4} (?:happy|pleased|satisfied|agreed|delighted|impressed|nodd?ed|smil\w+|content
          + |liked|waved|thumbs|yes)
        (?:could|can|would) (?:\w+ )?(?:hang|park|stand|drive|swing|land) an? (?:\w+ )?(?:lorry|bus|car
          + |elephant|tank|truck|house)
    """,
    "money": r"""
        [£$€]\s?\d[\d,.]*\w*
        \d[\d,.]*\s?(?:k|grand|quid|euros?|dollars?|pence|gbp|p each|pounds? (?:sterling|for|each|in cash|a|we))
        quid|fivers?|tenners?|invoices?|receipts?|budgets?|over(?:draft|drawn)|mortgages?|debts?|insur(?:ed|ance|er)
        salar(?:y|ies)|wages?|loans?|refunds?|bankrupt\w*|bank (?:accounts?|balance|details)|sort code|cash|cheques?
        expenses|afford\w*|fund(?:s|ing)|grants?(?: of| from| application| money)|owe[sd]?|price[sd]?|pricey|expensive
        bills? (?:for|from|came|is|was)|money|paid|pay|cost(?:s|ing)?|(?:hundreds?|thousands?) (?:of )?pounds(?! of\b)
        (?:raised|gave|given|donated|collected|earned|saved|spent|won|brought in|took|made
          + |left) (?:\w+ ){0,3}@sum pounds(?! of\b)
        (?:raised|gave us|donated|earned|spent|pledged)(?: \w+)? @large(?= (?:for|from|on|at|towards?|to)\b)
        set (?:us|me|them|the team) back|(?:four|five|six)[\s-]figures?|pays for
        pounds and (?:some )?(?:coppers|pence|change)
        @sum (?:pounds )?(?:from|at|in|by) (?:the|a|our) @gathering
        @gathering (?:\w+ ){0,2}(?:brought|made|raised|took|gave|came to|holds?) (?:\w+ ){0,3}@sum
        donations? (?:came|of|was|is|arrived|cleared|from)|donated @sum|a sum of|sums? of money
        (?:need|want|short of|lack|find|raise)(?:s|ed)? (?:\w+ )?@large(?= (?:for|pounds|by|to (?:buy|pay))\b)
        worth (?:about |over |some |nearly )?@large(?! words\b)
        (?:trust|charity|club|society|museum|group|fund|kitty)(?:'s| is| was) (?:\w+ )?(?:broke|short|empty
          + |in trouble)
        (?:at|for|wants?|charges?|asks?|asked|of) @sum (?:an hour|a day|a week|each|apiece|a piece|the lot)
        (?:gave|lent|slipped|left|handed|sent|paid|owes?) (?:us|them|me) @large(?! (?:\w+ )?(?:bolts|rivets
          + |screws|nuts|times|hours|sheets|parts))
        (?:last|only|about) @sum pounds(?! of\b)|(?:came|come|comes) (?:in )?(?:at|to) (?:\w+ ){0,2}@large
        the bank|bankers?
        charity commission|the lease|leases?(?= (?:is|runs|ends|was|has))|tenancy|evict\w+|the rent
        rent (?:is|was|has|on|for)
        (?:lose|losing|vacate|thrown out of) (?:the|our) (?:shed|hangar|site|workshop|barn|home|roof|lease)
        (?:we're|we are|i'm|they're) (?:broke|skint|hard up)|skint
        worth (?:a (?:fortune|bit)|thousands|hundreds)|sponsor(?:ed|s|ship) (?:us|by|money|deal)
    """,
    "somebody's health": r"""
        hospitals?|doctors?|nurses?|ambulance|a&e|surge(?:ry|on)|an operation|ill(?:ness)?|sick|poorly|unwell
        injur\w+|hurt(?:s|ing)?|pain(?:s|ful|killers?)?|cancer|chemo\w*|diabet\w+|asthma\w*|arthrit\w+|dementia
        alzheimer's|depress(?:ed|ion)|anxiety|a stroke(?! of)|heart (?:attack|trouble|condition)|pacemaker|covid|flu
        diagnos\w+|medic(?:ine|ation|al)|tablets|pills|prescription|pregnan\w+|died|dying|funeral|passed away
        bereave\w*|blood pressure|bandaged|bruised|sprain\w*|hearing aids?|deaf|disab\w+
        wheelchair|crutches|migraine|headaches?|faint(?:ed|ing)|drunk|hung-?over|therapy|counsell\w+|mental
        (?:bad|dodgy|poor|sore|stiff|@whose)(?: \w+)? @body(?! (?:in)?to\b| through\b)
        @body (?:\w+'s|is|'s|are|has|have|keeps?|kept)(?: \w+){0,2} (?:playing (?:up|him|her|me)
          + |giving (?:him|her|me|them))
        (?:isn't|aren't|mustn't|not|wasn't)(?: \w+)? (?:to )?lift (?:till|until|anything|any more)
        (?:he|she|i|who)(?:'s|'m| is| was| were) bleeding
        (?:@body|nose|hand|arm|head|lip)(?:'s| is| was)? (?:bled|bleeding)
        the bleeding|(?:bled|bleeding) (?:everywhere|badly|heavily|like|all over|a lot)|had a (?:bad )?fall|a and e
        cut @whose \w+|@whose (?:hand|arm|leg|head|hearing)|off (?:work|sick)
        first[\s-]aider
        (?:had|has|have|needs?|needed|got|with|took|gave)(?: \w+){0,2} stitches(?! (?:to|per|an?|of|every|apart
          + |in the)\b)
        (?:waiting|wait|waits|in|due|booked|down) (?:for|on) (?:\w+ ){0,2}(?:operation|scan|biopsy|bypass
          + |transplant|surgery|x-ray)
        (?:the|an?|his|her) (?:bypass|biopsy|transplant|hernia|cataracts?)|hernia
        (?:new|bad|replacement) (?:knee|hip|heart|kidney)s?
        (?:knee|hip|heart|cataract|shoulder)s? (?:done|replaced|replacement|trouble)
        funny turns?|under the knife|in plaster|caught something(?: nasty)?|dizz\w+|giddy|black(?:ed)?[\s-]?outs?
        waters broke|in labour|remission|hospice
        lost (?:the |all |some )?(?:feeling|sight|hearing|balance)(?= |$|\W)
        lost the use of (?:an?|one|two|\w+ fingers?)
        (?:go|goes|gone|going|been|went) through (?:a |an )?(?:\w+ )?(?:rough|bad|hard|difficult|dark) (?:patch
          + |time|spell)
        (?:trouble|off|bad|down|bed)(?: \w+)? with (?:the|a|his|her|my) (?:\w+ )?(?:nerves|bug|cold|flu|fever
          + |virus|cough|back|chest)
        (?:gone|going|went|come|came|laid|been) (?:down with|up with a|low)|laid up with|nerves|breakdowns?(?= |$)
        (?:us|riggers?|fitters?|team|she|i|who) (?:cannot|can't|can no longer|can hardly) (?:hear|see|walk|lift
          + |bend|stand|kneel|climb|work)
        (?:put|put out|broke|trapped|crushed|jammed|cut|burnt|scalded) (?:an?|the tip of an?) (?:thumb|finger
          + |toe|wrist|ankle|arm|leg|hand)(?! hole)
        signed off (?:work|sick)|told to rest|off (?:his|her) (?:feet|food)|(?:allergic|allergy|allergies)
    """,
    "said of other people": r"""
        @whose (?:partner|son|daughter|mother|father|mum|dad|brother|sister|boss|kids?|children|family|ex|mate)
        @whose (?:marriage|job|temper|age|religion|house|home|car)
        wife|husband|girlfriend|boyfriend|divorc\w+|landlord|landlady|neighbours?|trustees?|chairman|chairwoman
        treasurer|the council|police(?:man)?|solicitor|lawyers?|idiots?|stupid|lazy|useless|liar|lied|stole|stolen
        thie(?:f|ves)|theft|sacked|fell out with|argu(?:ed|ment)|row with|shouted at|complain\w*|gossip
        (?:moan|grumbl)(?:ed|ing|s) (?:about|at)|resign\w*|hates?|can't stand|blame[sd]?|clumsy|don't tell
        between (?:ourselves|you and me)|(?:that's|it's|this is|keep (?:it|that|this)) between us
        off the record|confidential\w*|keep (?:this|that|it) (?:quiet|to yourself)|secret\w*
        (?:had|have|having|were|are|exchanged) words (?:about|over|with)|(?:cross|hard|harsh|angry|heated) words
        row (?:about|over|between)|a (?:blazing|right|proper|terrible|flaming) row|falling[\s-]out
        (?:fell|fallen|fall) out (?:with|over|about)
        (?:not|n't|nobody|no one|hardly|barely|stopped|never)(?: \w+)? (?:speaking|talking|spoken|spoke
          + |talked) (?:to|with|since|terms|any)
        (?:on|no) speaking terms
        (?:got|became|was|were|bit|rather|very) heated(?= (?:over|about|between|in)|$|\W*$)
        heated (?:argument|exchange|meeting)
        (?:lost|loses?|losing) (?:(?:his|her|their|my) )?temper|tempers (?:frayed|flared|ran|rose|were|got)
        in a (?:huff|sulk|mood|temper|rage)|an? (?:bad |nasty )?atmosphere(?= (?:in|at|between|over|since))
        fisticuffs|told to (?:go|leave|pack)
        bad blood|(?:raised )?voices (?:were )?raised|raised voices|shouting (?:match|at|over)|ended in tears|in tears
        at (?:each other's|one another's) throats|loggerheads|came to blows|storm(?:ed|ing) (?:out|off)
        walked out|slammed
        threw (?:an?|the|down) \w+ (?:and|at|across|down)|sulk\w*|not pulling (?:\w+ )?weight|bicker\w*
        squabbl\w*|feud\w*|quarrel\w*
        (?:committee|board|members?|office|owners?)(?: \w+)? (?:do|does|must|is|are|need|should)(?:n't| not)
          +  (?:to |need to )?(?:know|hear|find out|be told)
        accus(?:ed|ing|es)|vegetarian|vegan|teetotal|under (?:eighteen|sixteen|age)|only (?:fifteen|sixteen|seventeen)
        blood(?:y|ied)|bugger\w*|damn(?:ed)?|crap|shit\w*|sod(?:ding)?|arse\w*|piss\w*|f[u*]ck\w*|bollocks
        bastards?(?! files?)
        muppets?|cowboys?|pig's (?:ear|breakfast)|dog's (?:breakfast|dinner)|bodg\w+|botch\w+
        embarrass\w*|rude|affair|prison|arrest\w*|court case|he|him|his|himself
        she(?:'s| is| was) (?:late|always|never|leaving|not happy|retired|seventy|sixty|eighty)
    """,
    "a caution": r"""
        caution|warnings?|danger(?:s|ous\w*)?|hazard\w*|beware|unsupported
        (?:could|may|might|nearly|almost) (?:have )?(?:fall|fell|fallen|collapse|fail|swing|tip)(?:ed|d)?
        (?:with )?nothing (?:(?:is|was|recorded|as) )*(?:holding|supporting)|no support
        not (?:(?:been|yet) )*(?:independently )?inspected
        without (?:the|any|a) (?:drawings?|manuals?|permission|permit|paperwork|inspection|second pair of eyes)
        (?:forgot|forgotten|neglected|omitted) to|the wrong way (?:round|up|about)
        (?:should not|shouldn't|should|ought not to|ought to) (?:\w+ )?have
        (?:guessed|made up|skipped|ignored|left out) the|left over(?= (?:at|when|after|from putting))
    """,
}  # fmt: skip
_SHAPES = {
    "a position on the map": r"""
        [-+]?\d{1,3}\.\d{4,}|[-+]?\d{1,3}\.\d{3,}\s*,\s*[-+]?\d{1,3}\.\d{3,}
        \b[A-Z]{2}\s?\d{3}\s?\d{3}\b|\b[NSEW]\s?\d{1,3}[\s.]\d+|///\w+\.\w+\.\w+
    """,
    "an address": r"""
        \b[A-Z]{1,2}\d[A-Z\d]?\s\d[A-Z]{2}\b
        \b(?:[A-Z]\w+\s)+(?:Road|Street|Lane|Avenue|Drive|Close|Crescent|Terrace)\b
    """,
    "a storage place": r"""
        \b(?i:@keeper)\s(?:(?i:number|no\.?|letter)\s)?[A-H]\b
    """,
    "a tag, part or serial number": r"""
        \b(?:[A-Z]\.?){1,4}[-/ ]?\d{2,}\w*(?:[-/]\w+)*\b
        \b(?=[A-Z\d-]*\d)(?=[A-Z\d-]*[A-Z])[A-Z\d-]{5,}\b
        \b(?:AN|MS|NAS|AGS|AS|SP|BS|BAC|DTD|LN|DIN|ISO)[\s-]?\d+\w*\b
        \bG-[A-Z]{4}\b|\bN\d{2,5}[A-Z]{0,2}\b
        \b[A-Z]{1,2}[-, ]{1,2}(?i:@digit)(?:[\s,-]+(?i:@digit))+
    """,
}  # fmt: skip

# Wording of the trade and of every day in which one of these words says none of that.
HARMLESS = re.compile(
    r"\b(?:safety (?:wir(?:e|es|ing)|pins?|clips?|glasses|goggles|boots|harness(?:es)?|belts?|helmets?|hats?|valves?)"
    r"|by hand|first-aid kit:? bandages and the like|(?:grub|jack|wood|machine) screws?|split pins?|a bent pin"
    r"|stressed[\s-]skin|medical kit|price of admission|cost (?:us )?(?:an?|the) (?:hour|day|morning|weekend)"
    r"|one by one|two by two|car parks?|(?:box|boxes|shelf|rack|bag)(?= of\b)|the loan of"
    r"|(?:weigh(?:s|ed|ing)?|lift(?:s|ed)?|pull(?:s|ed)?|(?:load|force|torque|pressure) of) (?:[\w-]+ ){0,5}pounds"
    r"|(?:bled|bleeding) (?:the|both|all|our|its) (?:\w+ )?(?:brakes?|systems?|lines?|hydraulics|jacks?|pumps?)"
    r"|neighbours?(?= (?:(?:has|have|had|kindly|who|again) )*"
    r"(?:len(?:t|ds)|g[ai]ves?|given|brought|loaned|offered|helped)\b)"
    r"|neighbour's (?:hoist|crane|tractor|trailer|forklift|lathe|welder|ladder|tools?|help))\b",
    re.IGNORECASE,
)


_GOES_ON = re.compile(r"\s*\n\s+\+ ")


def _lines(text: str) -> Iterator[str]:
    for line in filter(None, map(str.strip, _GOES_ON.sub("", text).splitlines())):
        for name, stands_for in _PLACE_FOR.items():
            line = line.replace(name, stands_for)
        yield line


def _patterns() -> Iterator[tuple[str, re.Pattern[str]]]:
    for why, own in (*_WORDS.items(), *TROUBLES.items()):
        text = own + MORE.get(why, "")
        yield why, re.compile("|".join(rf"(?<!\w)(?:{line})(?!\w)" for line in _lines(text)), re.IGNORECASE)
    for why, text in _SHAPES.items():
        yield why, re.compile("|".join(_lines(text)))


CLAIM = "a claim about safety or airworthiness"
PATTERNS = tuple(_patterns())
CLAIMS = dict(PATTERNS)[CLAIM]
