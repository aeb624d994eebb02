"""First names that people of a British hangar go by. From memory; no list was copied."""

NAMES = frozenset(
    """
aaron abby abdul abigail adam adele adrian agnes aidan ailsa alan alastair albert alec alex alexander alf alfie
alfred ali alice alison alistair allan alyson amanda amber amelia amir amy andrea andrew andy angela angie angus
anita ann anna anne annie anthony anton archie arjun arthur asha audrey ava barbara barney barry bea beatrice becky
ben benjamin bernard bernie bert beryl beth bethan betty bev beverley brenda brian bridget bronwen bruce bryan
callum cameron carl carla caroline carolyn cath catherine cathy cecil celia charles charlie charlotte cheryl chloe
chris christina christine christopher ciaran claire clare clarence clemmie cliff clive colin connor cora craig
cynthia cyril daisy dan daniel danny daphne darren dave davey david debbie deborah deirdre delia denis dennis derek
des desmond diana diane dick dinah dominic donald donna doreen doris dorothy doug dougie douglas duncan dylan ed
eddie edgar edith edna edward edwin eileen elaine eleanor eli elise eliza elizabeth ella ellen ellie elsie emily
emma eric erica ernest ernie esme esther ethan ethel eugene eva evan eve evelyn fatima felicity fergus fiona
florence frances francis fred freda freddie gareth gary gavin gemma geoff geoffrey george georgia georgina gerald
geraldine gerry gethin gillian gina gladys glen glenys glyn gordon graeme graham greg gregory greta gwen gwyn hamish
hannah harold harriet harry harvey hattie hazel heather hector heidi helen henry herbert hilary hilda howard hugh
hughie hugo ian ibrahim ida ifan imogen imran ines ingrid irene isaac isabel isla ivan ivor jackie jacob jacqueline
jake james jamie jan jane janet janice jasmine jason jean jeff jeffrey jemima jen jennifer jenny jeremy jerry jess
jessica jessie jill jim jimmy joan joanna joanne joe joel john johnny jon jonathan jordan joseph josephine josh
joshua joyce judith judy julia julian julie justin karen karl kate katherine kathleen kathy katie kay keith kelly
ken kenneth kenny kerry kev kevin kieran kim kirsty kumar kyle larry laura lauren laurence leah lee leila len lenny
leo leon leonard les lesley leslie lewis liam lilian lily linda lionel lisa liz lizzie lloyd logan lorna lorraine
louis louise luca lucas lucy luke lydia lynn lynne mabel maggie malcolm mandy marcus margaret margot maria marian
marie marion marjorie marlene martha martin marty mary matilda matt matthew maud maureen maurice mavis megan mel
melanie mervyn michael michelle mick mickey mike mildred millie miriam mo mohammed moira mollie molly monica morag
muriel myra nadia nadine nan nancy naomi natalie natasha nathan ned neil nell nelly neville nicholas nicola nicole
nigel nina noah noel nora noreen norma norman norris olga olive oliver olivia ollie omar oscar owen pam pamela
patricia patrick paul paula pauline peggy percy perry pete peter phil philip philippa phillip phoebe phyllis polly
priya rachel raj ralph raymond reg reggie reginald rhiannon rhys richard rita robbie robert roger roland ron ronald
ronnie rory rosalind rosemary rosie ross rowan roy ruby rupert russell ruth ryan sadie sally sam samantha samir
samuel sandra sanjay sarah sasha scott sean seb sebastian shane sharon shaun sheila shirley sian sid sidney simon
siobhan sofia sonia sophie stan stanley stella steph stephanie stephen steve steven stewart stu stuart susan susie
suzanne sybil sylvia tamsin tanya tara ted terence teresa terry tessa thelma theo theresa thomas tim timothy tina
toby todd tom tommy tony tracey tracy trevor tristan una ursula val valerie vanessa vera verity vern vernon vicky
victoria vince vincent viv vivian vivien wally walter wanda warren wayne wendy wesley wilf wilfred william willie
winifred winnie yasmin yvonne zac zara zoe
""".split()  # noqa: SIM905 - easier to read and to add to
)

# Names that are also ordinary words: they count with a capital where a name would stand, or beside a word of telling.
ALSO_WORDS = frozenset(
    """
art basil bill bob bolt carol chuck clay cliff daisy dale dawn dean don dot drew earl ernest faith frank gale gene
ginger grace guy hazel heath heather hope iris ivy jack jay jet joy june lance lee les lily mark max may miles nick
norm olive pat peg penny pip port ray reed rex rich rob robin rod rose ruby rusty sandy skip sue summer victor
violet wade will
""".split()  # noqa: SIM905
)

# One person's usual short forms. Common practice, no source.
SHORT_FORMS = tuple(
    frozenset(line.split())
    for line in """
edward ted teddy ed eddie ned
william will bill billy willie
robert rob bob bobby robbie
richard rick dick richie ricky
margaret maggie meg peggy madge
elizabeth liz lizzie beth betty bess
douglas doug dougie
norman norm
norris noz nozza
michael mike mick mickey
james jim jimmy jamie
john johnny jack
thomas tom tommy
david dave davey
susan sue susie
patricia pat trish
beatrice bea trixie
christopher chris
kenneth ken kenny
ronald ron ronnie
stephen steve stevie
anthony tony
geoffrey geoff
gerald gerry jerry
wilfred wilf wilfie
vernon vern
clementine clemmie clem
alfred alf alfie
albert bert bertie
frederick fred freddie
raymond ray
leonard len lenny
catherine cathy kate katie cath
deborah debbie debs
andrew andy drew
peter pete
daniel dan danny
samuel sam sammy
benjamin ben benny
matthew matt
timothy tim
reginald reg reggie
stanley stan
sidney sid
""".strip().splitlines()
)
