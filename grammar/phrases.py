"""The phrases the language knows, by class. To teach it a phrase, add it to one list here.

Each class is a terminal of ``request.lark``; words in no list stay words and may be part of a name.
Phrases are lower case, single-spaced, separated by a bar or a new line; a phrase of several words wins over its parts.
"""

# Fillers carry nothing for the request. They are left out of names, so no chemical word may stand there.
CLASSES: dict[str, str] = {
    "FILLER": """
a|an|the|me|us|i|we|you|my|our|your|it|its|this|that|some|any|made|made up|prepared|preparing|preparation
preparation of|preparing a|prep|needed|required|like|please|pls|plz|kindly|hi|hello|hey|hiya|dear|greetings
good morning|good afternoon|good evening|morning|afternoon|evening|thanks|thank you|thx|ta|cheers|regards
many thanks|thanks in advance|thank you very much|thanks a lot|with thanks|kind regards|best wishes
(s)|(l)|(solid)|solution|solutions|soln|soln.|sol.|solns|of it|of this|of that|in total|total|total volume
final volume
final concentration|final strength|concentration|conc of|volume|vol|vol.|strength|amount|quantity
what|whats|what's|what is|how|how much|how many|how do i|how do you|how would i|how would you|how can i
how to|what mass|what mass of|what weight of|what volume of|what would i|what do i|do i|should i|would i
must i|will i|weigh|weigh out|weighed|mass|mass of|weight of|grams of|goes|goes into|go into|do|does|should
shall|be|is|are|was|will|dissolve|dissolved|dissolving|dissolve in|measure|measure out|measured|let's|lets
let us|so|then|just|only|there|there is|there are|having|containing|contains|has|with a concentration
with a concentration of|at a concentration of|with concentration|of concentration|of strength|worth of
fresh|freshly|freshly made|new|ready|ok|okay|right|also|as well|calculate
however|work out|find|help|help me|with making|making up|reagent|aq soln|for me|for us|which is|that is|i am|i'm
we are|i'm after|i am after|after|of the|litres of|ml of|made of|of a|of an|nominal|nominally|needing
getting|requiring|cas|cas no|cas no.|cas number|cas-no|could|can|may|already|already made|available
if poss|once|well|working solution|hardness|total hardness|alkalinity|fill|working strength|weigh and dissolve
how should i|volume of|final|recipe|for a concentration of|at a final concentration of
would|would be|must|must be|had to|have to|had|used|to be used|weighed out|out
describe|describe how|explain how|describe the preparation of|explain|specifically|how specifically|if|which has
that has|a chemist|the chemist|a technician|a teacher|a pharmacist|found in your lab|found in the lab|as your solvent
as the solvent|as solvent|reference solution|reference standard|extracting solution|extraction solution
volumetric solution|how many milliliters of|how many millilitres of|how many ml of|how many mls of|how many grams of
how many g of|how many grams|how many milligrams|how many milligrams of|how many mg of|how many litres of
how many liters of|how many microliters of
how many microlitres of|how many ul of|how many cm3 of
recipe for|title|task|expt|working|appropriate|suitable|commercial|previously
by dissolving|by weighing|he'll do this by|he will do this by|adjust|adjusted|adjusting|single element|single-element
contain|adequate|sufficient
cool|cooled|when cool|after cooling|allow to cool|cooling|let cool|diluting it|diluting it with
""",
    # What somebody wants done: it closes a source clause when an amount follows.
    "COMMAND": """
make|makes|making|make me|make us|make up|make some|prepare|produce|produces|need|needs|i need|we need|want
wants|would like|i'd like|i would like|we would like|require|requires|can you|could you|can i have
could i have|can we have|may i have|give|give me|gives|get|get me|have|yields|have|please have|please make
please prepare|you need|will give|will make
""",
    "FROM": """
from|using|have only|only have|i only have|we only have|out of|made from|starting with|starting from
by diluting|by an appropriate dilution of|by appropriate dilution of|by the dilution of|pouring out some|by pouring out
diluted from|made by diluting
all you have is|all i have is|all we have is|all that is left is
made with|prepared from|i have|we have|got|only got|you have|you are given|you have got|suppose you have
if you have
if i have|if we have|i've got|we've got|i have got|we have got|given|from our
from the|from a|from an|use|ex|prepared by dilution of|by dilution of|taken from|from stock of
""",
    "TO": """
to|into|up to|made up to|make up to|making up to|and make up to|make to|made to|to be made up to
bring to|brought to|fill to|onto|and dilute to|and make to|bring up to|bring the volume to|make it up to
q.s. to|qs to|q.s. ad|qs ad|q.s. with water to|adjust to|adjusted to|adjusting to|adjust volume to|adjust the volume to
top up to|make the volume|make volume|bring volume to|bring final volume to|bring to a final volume of
to a final volume of
to a total volume of|adjust to a final volume of|adjust final volume to|make to a final volume of|bring up volume to
make volume up to|make up volume to
bring it up to|bring it to|complete to|complete the volume to|complete to a volume of|adjust the final volume to
bring the final volume to
make up the volume to|make the volume up to
""",
    "DOWNTO": """
down to|diluted to|diluted down to|dilute to|dilute up to|diluted up to|diluted to give|brought down to|to give
to make|to get
to produce|target|target concentration|target strength|diluted to make|diluted into|to prepare|to make up
to obtain|in order to make
in order to prepare|->|-->|=>
""",
    "DILUTE": """
dilute|dil|dil.|diluting|take|dilution|dilutions|dilution of|dilute down|to dilute|water down|diluted
""",
    # What is taken of a stock and put into a vessel; the vessel says how much is made.
    "TRANSFER": """
pipette|pipet|pipetting|pipetted|transfer|transferred|transferring|withdraw|transfer an aliquot of|aliquot of
""",
    "MARK": """
and dilute to volume|and diluted to volume|and make up to volume|and make to volume|and dilute to the mark
and make up to the mark|and make to the mark|and bring to volume|then bring to volume|then dilute to volume
q.s. to the mark|qs to the mark|q.s. to mark|q.s. to volume|qs to volume
to the mark|the mark|mark|up to the mark|to mark|to volume|to the graduation mark|dilute to volume|diluted to volume
make to volume|made to volume|make up to volume|made up to volume|bring to volume|brought to volume|dilute to the mark
diluted to the mark|make up to the mark|made up to the mark|fill to the mark|filled to the mark|make to the mark
made to the mark|dilute to mark|diluted to mark|make up to mark|adding water to the mark|adjust to volume
""",
    "OF": "of",
    "IN": "in|inside|within|in a|in an|in the",
    "FOR": """
for|against|against the|determination of|estimation of|analysis of|standardisation of|standardization of
identification of
detection of|test for|tests for|preparation and standardisation of|for the determination of|for the|for a
for an|for my|for our|for use in|for use with|for use as|for use|so as to|needed for|enough for
ready for
""",
    "AT": "at|@",
    "AS": "as",
    "WITH": "with|by",
    "AND": "and|&|plus|together with|along with",
    "BY": "made up with|diluted with|dilute with|make up with",
    "OR": "or",
    "NOT": "not|without|don't|do not|never|no",
    "EACH": "each|apiece|each one|each of them|a head|per head|a time|respectively",
    "SPARE": """
spare|extra|surplus|excess|overage|over|to spare|in reserve|on top|margin|allowance|wastage
for spillage|for waste
""",
    "NOSPARE": "no spare|no extra|without spare|nothing spare|no surplus|none spare|no spares",
    "CONC": """
concentrated|conc|conc.|concd|concd.|conc'd|concentrate|the conc|fuming conc|from the bottle
""",
    "GLACIAL": "glacial",
    "STOCK": """
stock|stock solution|stock soln|stock bottle|standard stock|stock standard|mother solution|stocks
""",
    "SOLID": """
pellets|pellet|scratch|flakes|crystals|crystal|granules|granular|beads|prills|crystalline|solid|the solid|lumps
""",
    "PURE": "pure|purity|purity of|assay|assay of|assays|assaying|content|by assay",
    "LABEL": """
label says|purity on label|label states|states|bottle says|label:|label reads|bottle reads|it says|says
labelled|labeled|marked|the label says|percent|percentage
the bottle says|label|on the label|according to the label|on the bottle
""",
    "DENSITY": """
density|density of|dens|dens.|d|d.|sp gr|sp. gr.|sp.gr.|sp gravity|specific gravity|s.g.|sg|s.g|rho|ρ
relative density|rel density|d20
""",
    "PH": "ph|p.h.",
    "ACCURATE": """
accurate|accurately|exact|exactly|precise|precisely|accurately known|as accurately as possible
volumetric|to high accuracy
""",
    "APPROX": """
about|approximately|approx|approx.|roughly|rough|around|ca|ca.|circa|approximate|or so|some where near
~
""",
    "STANDARD": """
standard|ppm standard|standardised|standardized|standard solution|primary standard|primary|standardise
standardize|a primary standard|to be standardised
""",
    "MIX": """
mix|mixing|mixed|combine|combining|blend|stir|put|pour|pour in|tip|mix together|can i mix
is it safe to mix|is it ok to mix
""",
    "TOGETHER": "together|in with|into the same",
    "BASIS": "w/v|w/w|v/v|m/v|m/m|wt/vol|wt/wt|vol/vol|by weight|by mass|by volume|weight by volume",
    "REACTION": """
titration|titrations|redox|acid-base|neutralisation|neutralization|oxidation|reduction|reaction|titrant
titrating|precipitation|back titration|iodometry|argentometry|oxidiser|oxidant|oxidising|oxidizing
reducing|acid base|complexometric|permanganometry
""",
    "CHANGED": """
half-strength|half strength|double-strength|double strength|quarter-strength|quarter strength
triple strength|twice|thrice|double|triple|half as|half the|twice as|saturated|supersaturated
nearly saturated|half-saturated|half saturated|less than|more than|at least|at most|no more than
no less than|not more than|minimum|maximum|max|min of|except|minus|excess of|an excess of|between
a couple of|couple of|several|a few|few|dozen|a dozen|half a dozen|a pair of|pairs of|stronger|weaker
stronger than|weaker than|instead of|rather than|equimolar|equal parts|equal volumes|in duplicate|duplicate
in triplicate|triplicate|daily|weekly|a day|per day|each day|every day|a week|per week|each week|every week|again
""",
    "BLANK": "blank|blanks|a blank|and a blank|reagent blank|with blank|with a blank|plus blank|plus a blank",
    "SERIES": """
calibration series|dilution series|dilutions series|serial dilution|serial dilutions|standard series
calibration standards|calibration curve|calibration|series|series of|a series of|working standards
standards|series from|standard solutions|serially diluted|concentration series|serially
""",
    "STEPS": "steps|step|levels|points|stages|dilution steps|serial dilutions",
    "ADD": "add|adding|added|add in|adds",
    "ASIDE": """
on monday|on tuesday|on wednesday|on thursday|on friday|monday|tuesday|wednesday|thursday|friday|tomorrow
today|next week|this week|by monday
by tuesday|by wednesday|by thursday|by friday|by tomorrow|this afternoon|this morning|asap|urgently
technical grade|analytical grade|reagent grade|lab grade|laboratory grade|acs grade|ar grade|analar
analytical reagent grade|commercial grade|technical|analytical-grade|reagent-grade|laboratory reagent grade
on your shelf|on the shelf|on my shelf|on our shelf|with a pipette|pipettes|using a balance|stirring|with stirring
constant stirring|with care|carefully
with a label|label it|labelled clearly|slowly|gently|stir well|mix well|mix thoroughly|shake well
with the same solvent|with the solvent|quantitatively|by heating|with heating|with gentle heating|by warming
with warming
by stirring|by shaking|with shaking|with agitation|by boiling|urgent|no rush|no hurry|not urgent|no worries
when you can|if possible|if you can|as soon as possible
""",
    "TREATMENT": """
dried|dry|drying|oven-dried|oven dried|heated|stored|store|storing|keep|kept|autoclaved|autoclave
refrigerated|refrigerate|boiled|to be kept|to be stored|to be refrigerated
""",
    # Where it stands, not what it is dissolved in: "in the fridge".
    "SITE": """
fridge|freezer|refrigerator|cold room|lab|laboratory|prep room|store room|stockroom|stock room|cupboard|ice
the fridge|the freezer|the refrigerator|the cold room|the dark
""",
    "MOLAR_MASS": """
mw|fw|m.w.|f.w.|mr|rfm|rmm|molar mass|relative formula mass
relative molecular mass|molecular mass|formula weight|molecular weight|formula mass|mol wt|mol. wt.
""",
    "SETS": """
classes|sections|lessons|sessions|sets|periods|times over|repeats|parallel classes|runs|practicals
""",
    "CLASSOF": """
in the class|in a class|in class|class of|a class of|in my class|in each class|per class|in the group
""",
    # Names that contain a word of another class, or a number that is part of the name.
    "WORD": """
bleaching powder|baking powder|lime water|baryta water|bromine water|chlorine water|iodine water
barium water|washing soda|baking soda|caustic soda|caustic potash|tween 20|tween 80|tween-20|tween-80
crystal violet|methyl violet|brilliant green|triton x-100|triton x 100|congo red|rock salt|table salt
common salt|epsom salt|epsom salts|mohr's salt
mohrs salt|rochelle salt|glauber's salt|glauber salt|sea salt|salt water|copper salt|plaster of paris
condy's crystals|condys crystals|milk of lime|milk of magnesia|oil of vitriol|cream of tartar
sugar of lead|spirits of salt|potassium sodium tartrate
spirit of salts|salt of lemon|dilute bleach|standard ph 7|universal indicator|vitamin c|peg 400
peg 4000|peg 6000|peg 8000|fehling's a|fehling's b|fehlings a|fehlings b|fehling a|fehling b
fehling's solution a|fehling's solution b|fehling solution a|fehling solution b|fehlings solution a
fehlings solution b|fehling's solution no. 1|fehling's solution no. 2
""",
}

WHO: dict[str, str] = {
    word: plural
    for plural, words in {
        "students": "student students pupil pupils learner learners kid kids children people persons person"
        " participants candidates trainees",
        "pairs": "pair pairs",
        "groups": "group groups team teams trio trios",
        "benches": "bench benches table tables station stations place places",
        "portions": "portion portions lot lots aliquot aliquots sample samples tube tubes set-ups",
    }.items()
    for word in words.split()
}

VESSELS: dict[str, str] = {
    "volumetric-flask": """
volumetric flask|vol flask|vol. flask|volumetric flasks|graduated flask|grad flask|volumetric|v flask
standard flask|measuring flask|one-mark flask|vf|flask|flasks|standard flasks|graduated flasks
""",
    "conical-flask": "conical flask|conical flasks|conical|erlenmeyer flask|erlenmeyer|erlenmeyers",
    "beaker": "beaker|beakers",
    "measuring-cylinder": """
measuring cylinder|graduated cylinder|cylinder|measuring cylinders|grad cylinder|graduate
""",
    "round-bottomed-flask": "round-bottomed flask|round bottomed flask|round bottom flask|rbf",
    "burette": "burette|buret|burettes",
    "test-tube": "test tube|test tubes|boiling tube|boiling tubes",
    "jug": "jug|bucket|measuring jug",
    "bottle": """
bottle|bottles|winchester|reagent bottle|storage bottle|dropper bottle|dropper bottles|dropping bottle
dropping bottles|wash bottle|duran bottle|screw-cap bottle|vial|vials|jar|carboy|jerrycan|container
""",
}

MATERIALS: dict[str, str] = {
    "glass": "glass|borosilicate|pyrex|soda glass|glassware",
    "plastic": "plastic|polythene|polyethylene|pe|hdpe|ldpe|polypropylene|pp|ptfe|teflon|fep|pfa|poly",
    "amber": "amber|brown|dark glass|brown glass|amber glass",
    "clear": "clear|clear glass|colourless glass",
}

WATER: dict[str, str] = {
    "water": """
sterile water|sterile distilled water
water|distilled water|distilled-deionized water|distilled-deionised water|distilled deionized water
double distilled water|double-distilled water|deionised water|deionized water|di water
demineralised water|pure water|dh2o
ddh2o|purified water|milliq|milli-q|milli-q water|dist water|dist. water|de-ionised water|h2o|aqueous
aqueous solution|aq|(aq)|aq.|ro water|d.w.|d.w|conductivity water|reagent water|h20|ultrapure water|nanopure water
demineralized water
boiling water|hot water|warm water|cold water|lukewarm water|ice-cold water|ice cold water|iced water|near-boiling water
boiling distilled water|hot distilled water|warm distilled water|cold distilled water|hot deionised water
warm deionised water
de-ionized water|glass-distilled water|glass distilled water|water for injection|ammonia-free water
ammonia-free distilled water|aqu|aqu.
dm water|d.m. water|demineralised distilled water
""",
    "tap water": "tap water",
    "ethanol": "alcoholic|ethanolic",
    "methanol": "methanolic",
    "boiled water": "boiled water|freshly boiled water|co2-free water|co2 free water|co2 free distilled water|co2-free distilled water"
    "|carbon dioxide-free water|carbon dioxide free water|boiled distilled water|freshly boiled distilled water",
}
