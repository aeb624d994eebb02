"""Wording that never goes out, whatever the book's settings say: positions, numbers, stores, money, health, claims.

What stands here of how people speak is common practice, no source. A line is one way of putting it, as a regular
expression: ``words`` are whole words in any case, ``shapes`` stand as they are, with capitals where they have them.
"""

import re
from collections.abc import Iterator

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
        r"|cupboards?|cabinets?|containers?|cages?|trolleys?|tins?|jars?|tubs?|hangars?|sheds?)"
    ),
    "@kept": (
        r"(?:\w+'s|\w+'re|is|are|was|were|been|now|goes|went|gone|go|put|hung|hangs?|lives?|sits?|sitting|stands?"
        r"|standing|leans?|leaning|lies|lying|laid|left|stood|parked|propped|moved|stays?|staying|rests?|resting)"
    ),
    "@spot": (
        r"(?:walls?|mezzanine|trestles|rafters?|corner|doorway|paint[\s-]?shop|machine[\s-]?shop|(?:work[\s-]?)?bench"
        r"|gantry|racks?|racking|shelving|stores?|stands?|pallets?|trolley|landing|gallery|lean-to|canteen|office"
        r"|spray booth|stairs|staircase)"
    ),
    "@thing": r"(?:it|them|this|these|the \w+(?: \w+)?)",
    "@by": r"(?:in|on|onto|under|by|behind|against|at|along|beside|below|next to)",
    "@hide": r"(?:shed|loft|garage|barn|lock-?up|container|cellar|basement|attic|outhouse|annexe?|store-?room)",
    "@fly": r"(?:fly|flight|flying|take to the (?:air|skies)|take-?off)",
    "@at": r"(?:in|on|under|at|behind|by)",
    "@any_of_her": r"(?:(?:her|its|the|a|first|next|maiden|test|another|more) )*",
    "@whose": r"(?:his|her|my|their|your)",
    "@body": r"(?:back|knees?|hips?|heart|chest|eyes?|lungs?|shoulders?|wrists?|ankles?|fingers?|thumbs?|foot|feet)",
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
    """,
    "money": r"""
        [£$€]\s?\d[\d,.]*\w*
        \d[\d,.]*\s?(?:k|grand|quid|euros?|dollars?|pence|gbp|p each|pounds? (?:sterling|for|each|in cash|a|we))
        quid|fivers?|tenners?|invoices?|receipts?|budgets?|over(?:draft|drawn)|mortgages?|debts?|insur(?:ed|ance|er)
        salar(?:y|ies)|wages?|loans?|refunds?|bankrupt\w*|bank (?:accounts?|balance|details)|sort code|cash|cheques?
        expenses|afford\w*|fund(?:s|ing)|grants?(?: of| from| application| money)|owe[sd]?|price[sd]?|pricey|expensive
        bills? (?:for|from|came|is|was)|money|paid|pay|cost(?:s|ing)?|(?:hundreds?|thousands?) (?:of )?pounds
        (?:we're|we are|i'm|they're) (?:broke|skint|hard up)|skint
        worth (?:a (?:fortune|bit)|thousands|hundreds)|sponsor(?:ed|s|ship) (?:us|by|money|deal)
    """,
    "somebody's health": r"""
        hospitals?|doctors?|nurses?|ambulance|a&e|surge(?:ry|on)|an operation|ill(?:ness)?|sick|poorly|unwell
        injur\w+|hurt(?:s|ing)?|pain(?:s|ful|killers?)?|cancer|chemo\w*|diabet\w+|asthma\w*|arthrit\w+|dementia
        alzheimer's|depress(?:ed|ion)|anxiety|a stroke(?! of)|heart (?:attack|trouble|condition)|pacemaker|covid|flu
        diagnos\w+|medic(?:ine|ation|al)|tablets|pills|prescription|pregnan\w+|died|dying|funeral|passed away
        bereave\w*|blood pressure|stitches|bleeding|bled|bandaged|bruised|sprain\w*|hearing aids?|deaf|disab\w+
        wheelchair|crutches|migraine|headaches?|faint(?:ed|ing)|drunk|hung-?over|therapy|counsell\w+|mental
        (?:bad|dodgy|poor|sore|stiff|@whose)(?: \w+)? @body
        had a (?:bad )?fall|a and e|cut @whose \w+|@whose (?:hand|arm|leg|head|hearing)|off (?:work|sick)
        first[\s-]aider
    """,
    "said of other people": r"""
        @whose (?:partner|son|daughter|mother|father|mum|dad|brother|sister|boss|kids?|children|family|ex|mate)
        @whose (?:marriage|job|temper|age|religion|house|home|car)
        wife|husband|girlfriend|boyfriend|divorc\w+|landlord|landlady|neighbours?|trustees?|chairman|chairwoman
        treasurer|the council|police(?:man)?|solicitor|lawyers?|idiots?|stupid|lazy|useless|liar|lied|stole|stolen
        thie(?:f|ves)|theft|sacked|fell out with|argu(?:ed|ment)|row with|shouted at|complain\w*|gossip
        (?:moan|grumbl)(?:ed|ing|s) (?:about|at)|resign\w*|hates?|can't stand|blame[sd]?|clumsy|don't tell
        between ourselves|off the record|confidential\w*|keep (?:this|that|it) (?:quiet|to yourself)|secret\w*
        embarrass\w*|rude|affair|prison|arrest\w*|court case|he|him|his|himself
        she(?:'s| is| was) (?:late|always|never|leaving|not happy|retired|seventy|sixty|eighty)
    """,
    "a caution": r"""
        caution|warnings?|danger(?:s|ous\w*)?|hazard\w*|beware|unsupported|near[\s-]miss\w*|accidents?
        (?:could|may|might|nearly|almost) (?:have )?(?:fall|fell|fallen|collapse|fail|swing|tip)(?:ed|d)?
        (?:with )?nothing (?:(?:is|was|recorded|as) )*(?:holding|supporting)|no support
        not (?:(?:been|yet) )*(?:independently )?inspected
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
    r"|one by one|two by two|car parks?|(?:box|boxes|shelf|rack|bag)(?= of\b))\b",
    re.IGNORECASE,
)


def _lines(text: str) -> Iterator[str]:
    for line in filter(None, map(str.strip, text.splitlines())):
        for name, stands_for in _PLACE_FOR.items():
            line = line.replace(name, stands_for)
        yield line


def _patterns() -> Iterator[tuple[str, re.Pattern[str]]]:
    for why, text in _WORDS.items():
        yield why, re.compile("|".join(rf"(?<!\w)(?:{line})(?!\w)" for line in _lines(text)), re.IGNORECASE)
    for why, text in _SHAPES.items():
        yield why, re.compile("|".join(_lines(text)))


CLAIM = "a claim about safety or airworthiness"
PATTERNS = tuple(_patterns())
CLAIMS = dict(PATTERNS)[CLAIM]
