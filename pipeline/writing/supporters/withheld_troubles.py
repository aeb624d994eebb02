"""Wording of troubles that never goes out: thefts, accidents, disputes, quarrels with firms, bad language, children.

Written as ``withheld_words`` is, of which it is a part; common practice, no source.
"""

TROUBLES = {
    "a theft or a break-in": r"""
        (?:was|were|is|are|has|have|had|been|being|got|get|\w+'s|\w+'ve)(?: \w+)? (?:stolen|nicked|pinched
          + |robbed|burgled
          + |half-inched|swiped|vandali[sz]ed|looted|ransacked|broken into)
        (?:broke|breaks?|breaking|got|getting|forced (?:a|the|their) way) into (?:the|our) (?:\w+ )?@outhouse
        break-?ins?|burgl\w+|vandal\w*|loot(?:ed|ers|ing)|robber(?:y|ies|s)|thiev\w+|pilfer\w*|shop-?lift\w*
        (?<!photo )(?<!picture )(?<!photos )(?<!pictures )(?<!photograph )(?:was|were|been|'s been|got) taken
          + (?: from us)?(?: in the night| overnight| last night| over the week(?:end)?| while nobody| behind our)
        (?:some(?:body|one)|they|thieves)(?:'s|'ve| has| have| had)? (?:had|taken|got
          + |been) (?:\w+ ){1,4}away(?! from)
        (?:walked|made|went|gone|got|going) (?:off|away) with (?:the|our|my|all|half|some|a)(?= )
        helped (?:himself|herself|themselves) to
        some(?:body|one)(?:'s| has| had) been (?:in|at|through|inside|round)
        (?:vanished|disappeared|gone|went|walked) (?:overnight|in the night|from (?:the|our) @outhouse)
        (?:must|might|could|may|bet it)(?: \w+)? (?:be|been|was) (?:one|some|two|somebody|someone) of (?:the
          + |them|those)
        (?:padlock|lock|door|window|chain|fence)s?(?: \w+)? (?:was|were|been|had been) (?:forced|cut|jemmied|smashed
          + |kicked)
    """,
    "an accident or something dangerous": r"""
        accidents?|near[\s-]miss\w*|mishaps?|blood(?! (?:orange|hound|red|bank))|paramedics?|fire (?:brigade|engine)
        emergency services|nine nine nine|intensive care|life support|resuscitat\w+|unconscious|concuss\w+|skull
        casualt(?:y|ies)|defibrillator
        (?:nobody|no[\s-]one|somebody|someone|anybody|anyone|we|they|who|man|woman|lad|girl|boy|pilot|crew|all)
          +  (?:\w+ )?(?:was|were|is|got|been|be) (?:\w+ )?(?:killed|maimed
          + |electrocuted|crushed|scalded|burn(?:t|ed) (?:badly|alive))
        killed (?:in|on|her|them|us|one|some\w+|anybody|anyone|outright)|(?:nearly|almost|could have
          + |would have) killed
        (?:lucky|mercy|miracle|wonder|thank \w+)(?: \w+)? (?:nobody|no[\s-]one|it (?:missed|wasn't|didn't)
          + |that wasn't)
        lucky to (?:be alive|get away|have)|(?:inches|a whisker|a second) (?:from|away from) (?:\w+ ){0,2}(?:head|us
          + |me|her|death|killing)
        (?:fell|falls|came down|dropped|landed|crashed|rolled|swung|slipped|toppled)(?: \w+)? (?:on|onto|into|over)
          +  (?:us|me|her|some(?:body|one)|one of us|people|a (?:visitor|volunteer)|(?:my|her|our|the) (?:lad
          + |boy|girl))
        (?:on|across|round|in) the (?:head(?! of)|shoulder|chin|jaw|temple|eye|knuckles)
        (?:my|her|our|some(?:body|one)'s|one of us (?:got|had) (?:a|an)|\w+'s) (?:hand|finger|thumb|arm|foot
          + |toe|leg)s?
          + (?: got| was| were| is)? (?:caught|trapped|crushed|jammed|pinned|squashed|gashed|cut)
        (?:let go|gave way|slipped|snapped|parted) and (?:it |the \w+ )?(?:came down|fell|hit|landed|dropped)
        (?:sling|hoist|jack|trestle|strop|rope|ladder|scaffold(?:ing)?)s? (?:\w+ )?(?:slipped|gave way|collapsed
          + |snapped|toppled|fell)
        fell (?:off|from|down|through) (?:the|a|his|her) (?:\w+ )?(?:ladder|steps|wing|trestles?|scaffold\w*|roof
          + |platform|stairs|staging)
        first aid (?:was|had to|for|to)|(?:in|into) shock
    """,
    "a dispute, or a matter of the law": r"""
        (?:go|goes|gone|going|went|take|takes|taken|took|taking|end|ended|get|come
          + |came)(?: \w+){0,3} to (?:court|law
          + |(?:a |the |an )?(?:tribunal|ombudsman|arbitration|magistrates?|judge))
        in court|court (?:orders?|dates?|hearings?|action|papers|summons)|tribunals?|ombudsman|(?:to|we'll
          + |they'll) sue
        sued|suing|prosecut\w+|law-?suits?|legal (?:action|advice|letters?|team|fees)|small claims|bailiffs?
          + |injunctions?
        (?:safety|the|an) executive(?= (?:wants?|wanted|is|has|will|came|comes|rang|wrote|said|sent)|$|\W)
        health and safety|inspectorate|coroner|inquests?|(?:an|the) inquiry|investigators?|(?:an|the) investigation
        (?:took|take|taking|give|gave|made|make|want) (?:a |our |their )?statements?
        (?:talk|speak|spoke|talked|say|said)(?:ing)?(?: \w+)? to the (?:press|news-?papers?|papers|media|reporters?
          + |journalists?|radio|television)
        (?:threaten(?:ed|ing|s)|threats?) (?:to|of|us|with)|claim(?:s|ed|ing)? (?:for )?(?:compensation|damages
          + |against)|compensation|writs?|summons(?:ed)?|breach of
    """,
    "a quarrel with a firm or a supplier": r"""
        (?:are|'re) (?:an? )(?:\w+ )?(?:shower(?! of (?:rain|sparks|rust|dust|chips|flakes))|shambles|disgrace|joke
          + |nightmare|waste of)
        (?:suppliers?|firms?|compan(?:y|ies)|workshops?|merchants?|dealers?|contractors?|foundry|mill|shop|people)
          +  (?:\w+ ){0,2}(?:is|are|was|were) (?:\w+ )?(?:useless|hopeless|awful|terrible|rubbish|dreadful
          + |an? (?:\w+ )?
          + (?:shower|shambles|disgrace|joke|nightmare|menace))
        (?:a|an|absolute|utter|bloody|complete|total) disgrace|disgraceful
        (?:mess(?:ed|es|ing)?|muck(?:ed|ing)?|string|stringing|strung|lead|led|fob(?:bed|bing)?|rip(?:ped|ping)?)
          +  (?:us|me) (?:about|around|along|off|up)
        (?<!weather )(?<!rain )let(?:ting)? us down
        over-?charged|short-?changed|cheat(?:ed|s|ing)?|conned|diddled|swindl\w+|fleeced|fobbed off
          + |ripp?(?:ed)?[\s-]off
        never (?:use|using|buy|order|deal|trust|speak|go|ask)(?:ing)?(?: \w+){1,4} again
        (?:won't|will not|wouldn't|don't|doesn't|didn't|never|not|nobody) (?:even )?(?:answer(?:s|ed|ing)?
          + |pick(?:s|ed)? up
          + |return(?:s|ed|ing)?|repl(?:y|ies|ied)|ring(?:s|ing)?|call(?:s|ed|ing)?)(?: \w+)? (?:the phone|calls?
          + |e-?mails?|letters?|to us|us back|back)
        what an? (?:load|lot|pile|heap) of(?: \w+)? (?:rubbish|junk|tat|nonsense|tripe|garbage|scrap)
        (?:rubbish|junk|tat|scrap)(?: that| which)? (?:they|that firm|that lot|those people) (?:sent|sold|gave
          + |delivered)
        (?:sent|sold|delivered|gave)(?: us)?(?: the)? (?:wrong|rubbish|junk|only half|half of)
        only (?:sent|delivered|half of what)|(?<!shepherd's )crooks?|swindlers?|charlatans?|con-?m[ae]n|rip-?offs?
          + |sharp practice
        (?:broke|broken|breaks?) (?:their|its|the) (?:word|promises?)|(?:their|its|the) (?:promises?|lies)
          + (?= (?:are|were|is|again|mean))
    """,
    "bad language": r"""
        gods?|god's|christ|jesus|almighty|god-?(?:damn\w*|awful|forsaken)|hell(?:ish)?|for (?:pity|pete|heaven
          + |goodness)'?s'? sake
        what the (?:heck|devil|blazes|dickens|deuce)|crying out loud|blast (?:it|the|him|her|that|and)|sod(?:s
          + |ding)?
        (?:pig|swine|cow|bitch|sod) of (?:a|an|the)|bitch(?:es|ing)?|pillocks?|plonkers?|prats?|gits?|wall(?:y|ies)
        twats?|tossers?|wankers?|bloomin[g']|knobheads?|dick-?heads?|cock-?ups?|cocked (?:it|that|this) up
        screwed (?:it|that|this|us) up|balls(?:ed)?[\s-]up|effing|ruddy
    """,
    "a child, or somebody's family": r"""
        (?:my|her|his|their|\w+'s)(?: \w+)? (?:girls?|boys?|lads?|lass(?:es)?|twins|child(?:ren)?|kids?|kiddies
          + |toddlers?
          + |bab(?:y|ies)|nephews?|nieces?|cousins?|uncles?|aunt(?:ie|y)?s?|grand\w+|in-laws?|sister|brother)
        our (?:\w+ )?(?:twins|nephews?|nieces?|grand(?:son|daughter|child|kid)\w*|bab(?:y|ies)|toddlers?|sons?
          + |daughters?)
        (?:my|her|his|their) (?:youngest|eldest|oldest|middle one|little ones?|wee ones?)
        grand(?:ad|dad|pa|father|ma|mother|son|daughter|child(?:ren)?|kid|parent|dad|mum)s?|grann(?:y|ies)
          + |nanna?|mummy
        daddy|children|schoolchildren|pupils?|toddlers?|teenagers?|under-?fives|kiddies|(?:the|little|small|some|two
          + |three|four|five|six|of|young|few) kids
        (?:primary|junior|infant|nursery|secondary|grammar) (?:school|class(?:es)?)|playgroup|brownies
          + |cub scouts|cubs
        (?:little|small|young) (?:boys?|girls?|lads?|lass(?:es)?|ones?)
        class (?:@number|[a-z]) (?:from|of the|came|helped|visited|painted|at)|school (?:trip|party|class|visit)
    """,
}
"""Reasons, each with ways of putting it."""

MORE = {
    "an address": r"""
        (?:first|second|third|fourth|fifth|last|next) (?:gate|turning|house|drive|lane|left|right)
          + (?= (?:along|past|after|down|up|off|by|beyond))
        perimeter (?:track|road|fence)|(?:gate|turning|drive) (?:along|off|past|opposite|behind|after) the
        (?:past|opposite|behind|off|beyond|before|after) the (?:\w+ ){0,2}(?:roundabout|by-?pass|motorway|lay-?by
          + |signpost|golf (?:course|club)|level crossing|water tower|garden centre|supermarket
          + |cricket (?:ground|club)
          + |bus stop|filling station|traffic lights)
    """,
    "a claim about safety or airworthiness": r"""
        as \w+ as (?:the day|when (?:it|she|they) (?:was|were|left|came|first)|ever|on the day|new)
        out(?:fly|perform|run|climb|pace|do)(?:s|ing)? (?:the|them|all|any\w*|most|every\w*)
        (?:it|she)(?:'ll| will| would| should) be (?:back )?up (?:again )?(?:before|by|when|with|next|this|in)
        ready (?:to go )?when(?:ever)? (?:the (?:\w+ )?(?:man|men|woman|people)|he|they|she|somebody) (?:say
          + |come|sign
          + |nod|give)s?
        when the (?:man|woman|inspector|people) (?:says?|signs?|nods?)|(?:go-ahead|green light|all[- ]clear
          + |thumbs[- ]up)
        (?:runs?|ran|goes|went|moves?|sings?|purrs?|flies|handles?) (?:like|as) (?:new|a (?:bird|dream|watch
          + |swiss \w+
          + |sewing machine)|clockwork|silk)
    """,
    "money": r"""
        in (?:the red|arrears|hock)|(?:down to|on|to) (?:our|my|the|their) last (?:few )?(?:hundreds?
          + |thousands?|penn\w+
          + |pounds?|bob|coppers)
        (?:good|fair|bad|better|cheap|special|decent) deal(?= (?:on|for|from|with))|discount\w*
        bargains?(?! hunt)|(?:knocked|took|taken|got|had|gave us)(?: us)? (?:an? |one )?(?:third|quarter|half|fifth
          + |tenth|tenner
          + |bit|few \w+) off(?= (?:for|the (?:price|bill)|us)|\W*$)
        half[\s-]price|at (?:cost|trade) price|on the cheap|on tick|a good price|haggl\w+
    """,
    "somebody's health": r"""
        (?:got|has|had|have|having|with|of) (?:the )?shingles|measles|mumps|chicken ?pox|pneumonia|bronchitis|gout
        sciatica|lumbago|angina|epilep\w+|norovirus|stomach bug|tummy bug|appendi(?:citis|x is|x out)|gallstones?
        kidney stones?|insulin|vertigo|tinnitus|parkinson's|hay fever|food poisoning|sepsis|infected|the menopause
        (?:is|\w+'s|was|who|wife|daughter|sister) expecting(?= (?:in|again|a baby|twins|any day|@season)|\W*$)
        a baby(?= (?:in|on|is|due|was|boy|girl))|touch and go|at death's door|pulled through|on the mend
          + |convalesc\w+
        in a (?:bad|poor|sorry|terrible) way|(?:physio|chiropod|osteopath)\w*|waiting list|check-?up at
    """,
}
"""More ways of putting what has its reasons in ``withheld_words``."""
