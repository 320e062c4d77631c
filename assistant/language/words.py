"""Word lists that tell the trade's speech from everyday speech and from other subjects.

They decide nothing alone: a message with a material and a clear task is understood whatever else it holds.
"""

from __future__ import annotations

import re

# Words that carry no subject of their own.
FUNCTION_WORDS = frozenset(
    """
    a able about above according across actually after afternoon again against ago ah all almost along already also
    alright although always am amount an and another any anybody anymore anyone anything anyway anyways anywhere
    apart approximately are aren't around as ask asked asking at ate away awful back bad badly barely be became
    because been before begin beginning behind being below beside besides best bet better between beyond big bit
    both bottom bought brilliant bring brings broke brought but buy by bye call called came can can't cannot certain
    certainly chance change changed changing cheers check choose chuck clear close closer come comes coming
    completely compare compared comparison correct could couldn't couple course cuz coz cause cos currently daft
    daily day days d deal dear decent definitely depend depends did didn't difference different do does doesn't
    doing don't done down dunno during each earlier early easier easy eek effect either else end ended ends enough
    er especially etc even evening event ever every everybody everyone everything exact exactly example except
    expect explain extra fair fairly far fast faster few figure figured finally find fine finish finished first fit
    folks follow for forget forgot forward found from front full fully further gave general generally get gets
    getting give given gives giving gladly go goes going gone gonna good goodness got gotta great group guess guy
    guys had half hand handle hang happen happened happening happens happy hard hardly has hasn't have haven't
    having he hear heard hello help helpful her here hers hey hi high higher him his hiya hm hmm hold holds holding
    honest honestly hope hopefully hour hours how how's however huge i i'd i'll i'm i've idea if in inside instead
    into is isn't it it'd it'll it's its just keep keeping keeps kept kind kinda knew know known knows lad large
    last late lately later latest lead least leave leaves left less let let's letting like likely list little ll
    load loads lol long longer longest look looked looking looks lot lots lovely low lower luck made mainly make
    makes making many mate matter matters may maybe me mean means meant meanwhile mention met mid middle might mind
    mine minimum minus minute minutes miss missed missing mix moment month months more morning most mostly move
    moved much must my myself name named names near nearly need needed needs neither never new news next nice night
    no nobody none nope nor normal normally not nothing now nowhere number numbers o'clock of off often oh ok okay
    old on once one ones only onto open opened opening or other others otherwise ought our ours out outside over
    overall own part past pay per perfect perhaps person pick picked place placed plan planning please plus point
    possible possibly pretty previous probably problem proper properly pull pulled put puts putting question quick
    quickly quite ran rather re reach ready real really reason reckon recommend regular remain remaining remember
    remind right roughly round run running said same saw say saying says second see seem seems seen self send sense
    sent set several shall she short should shouldn't show shows side similar simple simply since sit sitting
    situation small smaller so some somebody somehow someone something sometimes somewhere soon sooner sorry sort
    sorted spare special stand standing start started starting stay stays step still stop stopped straight stuff
    such suddenly suggest suggestion suggestions suitable super suppose supposed sure survive ta take taken takes
    taking talk tell than thank thanks that that'd that'll that's the their theirs them themselves then there
    there'll there's therefore these they they'd they'll they're they've thing things think thinking third this
    those though thought through throughout time times tiny tip tips to today together told tomorrow tonight too
    took top total totally touch toward towards tried trouble true try trying turn turned turns twice two type types
    um under understand unless until unsure up upon us use used useful uses using usual usually value various ve
    version very via wait waiting wanna want wanted wants was wasn't way ways we we'd we'll we're we've week weekend
    weeks weird well went were weren't what what's whatever when when's whenever where where's whereas wherever
    whether which while who who's whoever whole whom whose why why's will with within without won't wonder wondering
    word words work worked working works worry worse worst worth would wouldn't wow wrong x yeah year years yep yes
    yesterday yet you you'd you'll you're you've your yours yourself dont cant wont doesnt isnt arent ive youve
    theyre thats whats hows wheres didnt havent hasnt im itll theyll theyd weve id ill u r ur n pls plz thx tho til
    till cus gimme lemme ain't y'all yall cheers quid double halve twice triple safer safest markup mark times older
    define meaning pence pay instead fahrenheit strength cat cats dog dogs kitten kittens puppy toddler toddlers
    child children kids kid baby pet pets cake cakes birthday hospital ward school nursery kitchen restaurant church
    hotel garden someone lady fella tall fill filled filling bout abt em yer fella hun luv darling actual add added
    advice afraid allow allowed appear arrive arrived arrives arriving aware bear became become big boss busy bunch
    carry case cases count colleague customer customers client clients colour color compute calculate convert
    correct cover covers currently customer decide doing employee fix fixed friend guest guests gets guide handy
    hate hates holiday home house important include including information kids lady let lie limit made main manage
    manager maximum max min mum must names neighbour nor note obvious order ordered ordering own people percent
    plenty possible prefer prepared prob proceed produce proper provide quantity quick range rate read reading
    receive received recent related reply require required respond result results roughly safe safely save seriously
    serve share sis sister size sized sizes slightly slow slowly spend spot stage standard state story strong stuck
    suit suppose system team teach teaching telling temp thick thin tight toss training trainee tricky typical unit
    units usable visible visit wedding weather weight whats wide width worker yard young tom dick harry jess bride
    groom mother father daughter son wife husband monday tuesday wednesday thursday friday saturday sunday mon tue
    tues wed weds thu thur thurs fri sat sun january february march april june july august september october
    november december jan feb mar apr jun jul aug sep sept oct nov dec
    """.split()
)

# Words of the trade: their presence says the message is about this work.
DOMAIN_WORDS = frozenset(
    """
    acid airflow anther anthers arch arrange arranged arrangement arranging bacteria base basin bench bent berry
    berries bicarb biocide bleach bloom blooming blossom botanical botrytis bouquet boutonniere box branch branches
    branchy brick bud bucket buds bulb bunch bunches bundle buttonhole cage candle candles centrepiece centerpiece
    chill chilled chiller chilling chlorine citric clippers compost compote condition conditioned conditioning cool
    cooler corsage counter crate cut cuts cutting cylinder decorate degrees dehydrate dehydrated delivery design
    dethorn dilute dilution dip disinfect disinfectant display displays dose draught draughty draft drafty dried
    droop drooping droopy drop dry drying dust ethylene evaporate evergreen fade faded fern filler film floral
    floret florets florist florists floristry flower flowers flowery foam focal foliage food freeze freezing fresh
    freshness freshen fridge frog frost fruit fungus funeral garland glycerin glycerine greenery greens green grower
    hairspray hardening hat hazard head headed heads heat heater humid humidity hydrate hydrated hydrating hydration
    hydrator ikebana inflorescence ingredient install installation installed jar kenzan knife latex leaf leafy
    leaves lid life lifespan limp line lining liner litre litres longevity loss market mass material materials
    mechanics mist misting mold mould mouldy needle needles nitrogen nodding node overlay pack packs palm pedestal
    petal petals ph piece pieces pillow pin pistil plant planter plume plumes pod pods poison poisonous pollen posy
    preservative preserve preserved preserving pulse radiator recipe recut refill refresh refrigerate refrigerated
    refrigerator reservoir resin retail reuse room rotation sanitise sanitiser sanitize sanitizer sap seed season
    secateurs seasonal shatter shatters shed shedding shelf shipment shop shrivel silica snip solution spray sprays
    spritz stale stem stems sts stock stocky storage store stored strip stripped substitute substitutes substitution
    sucrose sugar sunlight supplier swap swapping table tape tepid thirsty thorn thorns top topping toxic
    transpiration transport trim trimmed tropical tropicals tube tubes tubs twig unavailable unpack unpacking urn
    van vase vases vendor venue vessel vial vials vine vines visits walk-in warehouse warm water watered watering
    wax wet wholesale wholesaler wilt wilted wilting window wire wires wired woody workroom wrap wreath transit
    temperature temperatures celsius fahrenheit degree stalk stalks imported pesticides injury lifting gloves injury
    deficit vapour rule terms bottle stage glass square globe rim brim halfway volume capacity inside outside kilos
    litre gallon pint quart ml shallow perk revive dehydration cooled rinse sleeve sleeves aging ageing senescence
    vpd q10 pesticide gloves spikes spike tropic bunched
    """.split()
)  # fmt: skip

# Words of subjects the handbook does not treat: money matters, kitchens, machines, trips, news, gardens.
FOREIGN_WORDS = frozenset(
    """
    account airline airport alarm album algebra android apple app article atm atom avocado bacon bake baked baking
    bank barbecue basketball battery beans beef beer bike bill bills bitcoin bloke blood boat bond book booking
    bread breakfast bug burger bus butter calculus calendar calories camera capital car card cards carrot cash
    celebrity cereal cheese chef chicken chocolate christmas cinema cinnamon city class coffee college computer
    concert cook cooked cookie cookies cooking country covid cream credit cricket crypto cryptocurrency cup currency
    curry debt dentist diet dinner directions dish doctor dollar dollars drive driver dvd egg eggs election elephant
    email engine equation euro euros exam exchange exercise facebook family fashion fertilise fertiliser fertilize
    fertilizer film finance fish fishing flight flights flour football forecast fruit fuel game games garage
    gardener gardening garlic gas gasoline genre germinate girlfriend glucose golf google government gpa grammar
    gravity greenhouse grill guitar gym hair ham hamburger hamster hedge history hockey homework honey horse hours
    insurance interest internet investment iphone ipad job joke jokes juice ketchup keto keyboard kilometre language
    laptop laundry law lawn lawyer lettuce library licence license loan login london love lottery lunch machine
    magazine mango maths math mayo mayonnaise meal meals meat medicine meeting message microwave milk minister
    mobile money moon mortgage mountain movie movies mulch museum music nail net netflix news nfl noodles novel
    nutrition oil onion onions oregano oven ozone paint pan pancake parking passport password pasta payment pea
    peanut pension pepper phone physics piano picture pig pizza planet plumber police politics population potato
    potatoes president program programming propagate prune pruning psychology pub quote rabbit radio rain raise
    recession recipe religion rent reservation rice river robot salad salary salmon salsa salt sandwich satellite
    sauce sausage science score seedling seedlings seeds serving shares shipping shoes shopping sing singer sleep
    snow soccer software soil song songs soup spaghetti speed spell sport sports spouse star steak stocks story
    sushi suv swim tax taxes taxi tea teacher team teams tech tennis tequila test text theory ticket tickets timer
    tire tires tofu tomato tomatoes tourist traffic train translate translation transplant travel trip truck tuna
    turkey tv tweet twitter uber umbrella universe university vacation vaccine vanilla vegan vegetable vegetables
    video vinegar visa vitamin volcano vote war wash weather website weed weeds wifi wikipedia wine workout yeast
    yoga yogurt zodiac
    """.split()
)  # fmt: skip

_MONEY = r"market|price|prices|exchange|shares?|portfolio|broker|dividend|invest\w*|option"
# Names that are everyday words, with the settings in which the everyday word is meant.
# The pattern sees 30 characters before, "‹›" for the word itself, and 30 after.
HOMONYMS: dict[str, re.Pattern[str]] = {
    "stock": re.compile(
        rf"\b(?:in|out of|our|my|the whole|take|taking|check|existing|old|current|new|dried|shop|from|cannabis|chicken|beef|vegetable|spare|dead|rotate|rotating|use up|into) ‹›(?! (?:is|are|last|came|looks?|has|have|needs?|seems?|went|goes|smells?|died|wilted|flowers?|stems?))|"
        rf"‹› (?:{_MONEY}|take|room|list|up\b|pot|cube|rotation|level|control)|(?:{_MONEY})[^‹]*‹›"
    ),
    "stocks": re.compile(
        rf"(?:my|the|cannabis|oil|tech|bank|buy|sell|penny) ‹›[^.?!]*(?:{_MONEY}|doing|worth|today)|(?:{_MONEY})[^‹]*‹›|‹› (?:and bonds|{_MONEY})"
    ),
    "rose": re.compile(
        r"\b(?:it|price|temperature|sun|he|she|prices|that|they|and) ‹›(?! (?:is|are|will|last|do))|‹› (?:to|from|by|gold|wine)\b"
    ),
    "roses": re.compile(r"guns (?:n|and|n') ‹›"),
    "heather": re.compile(r"\b(?:hi|hey|dear|tell|ask|asked|told|named|called|with) ‹›"),
    "iris": re.compile(r"\b(?:hi|hey|dear|tell|ask|asked|told|named|called|eye'?s?) ‹›"),
    "holly": re.compile(r"\b(?:hi|hey|dear|tell|ask|asked|told|named|called|buddy) ‹›"),
    "ivy": re.compile(r"‹› league|\b(?:hi|hey|dear|named|called) ‹›|poison ‹›"),
    "mint": re.compile(
        r"‹› (?:condition|tea|sauce|chocolate|julep|coin|ice)|\b(?:in|pepper|fresh|of) ‹› (?:condition|in a recipe)|us ‹›"
    ),
    "olive": re.compile(r"‹› (?:oil|garden|s on)|\bpitted ‹›"),
    "oats": re.compile(r"‹› (?:for breakfast|porridge|in the pantry)|\b(?:rolled|overnight|cooked|steel cut) ‹›"),
    "sage": re.compile(r"‹› (?:green|stuffing)"),
    "rosemary": re.compile(
        r"\b(?:in a recipe|cook\w*|roast\w*|chicken)[^.?!]*‹›|‹›[^.?!]*\b(?:recipe|chicken|roast|lamb|bread|thyme in)"
    ),
    "dill": re.compile(r"‹› pickles?|‹›[^.?!]*\b(?:recipe|salmon|cook)|\b(?:recipe|cook\w*|salmon)[^.?!]*‹›"),
    "wheat": re.compile(
        r"‹› (?:bread|flour|allergy|thins|pasta|beer)|\b(?:whole|buck|(?:cream|slice|loaf|cup|bag|field) of) ‹›"
    ),
    "bay": re.compile(r"‹› (?:area|window|bridge)|\b(?:loading|the|a|san francisco|tampa|green|at) ‹›"),
    "box": re.compile(r".*"),
    "daisy": re.compile(r"\b(?:hi|hey|named|called) ‹›"),
    "lily": re.compile(r"\b(?:hi|hey|named|called|dear) ‹›"),
    "jasmine": re.compile(r"‹› rice|\b(?:hi|hey|named|called) ‹›"),
    "broom": re.compile(r"\b(?:sweep|with a|the) ‹›"),
    "cotton": re.compile(r"‹› (?:shirt|swab|wool|ball|bud|t-?shirt|fabric|cloth|gloves?)"),
    "pepper": re.compile(r"‹› (?:spray|corn|mill)|\b(?:salt and|black|bell|cayenne) ‹›"),
    "moss": re.compile(r"\b(?:kate|remove|kill|lawn) ‹›"),
    "thrift": re.compile(r"‹› (?:store|shop)"),
    "flax": re.compile(r"‹› (?:oil|seeds?)"),
    "oak": re.compile(r"‹› (?:table|floor|desk|furniture|barrel|ridge|land)"),
    "pine": re.compile(r"‹› (?:table|floor|desk|furniture)"),
    "palm": re.compile(r"‹› (?:of|beach|springs|oil|sunday)|\bmy ‹›"),
    "palms": re.compile(r"\b(?:my|sweaty) ‹›"),
}
