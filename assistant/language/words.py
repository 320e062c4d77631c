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
    clean cleaned cleaning cost costs costing filthy markup price prices priced selling soak soaks soaked soaking
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

# Number words, so that a slip in one is not read as no number at all.
NUMBER_WORDS = frozenset(
    """
    three four five seven eight nine eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty
    thirty forty fifty sixty seventy eighty ninety hundred thousand dozen couple quarter quarters thirds third
    twos threes fours fives sixes sevens eights nines tens twelves fifteens twenties fifties hundreds dozens
    """.split()
)

# Words the recognisers of tasks, slots and commands look for, that are in no other list here. A slip in one of them
# must not change what is asked, so each is known to the spelling. A new pattern's new words belong here too.
PARSED_WORDS = frozenset(
    """
    kelvin houseplant houseplants
    centimetre centimeter centimeters millimetre millimetres millimeter millimeters millilitre kilogram kilogramme
    accent affects airy alive allergic allergy allowance alternative alternatives answer appreciated arrangements
    arrival asthma attach autumn available avoid babies ball basket bending blackened blades bleed bleeding blooms
    blue boiling bowl boxed boxes british broken brown browning buffet build built burgundy burn burns buying
    calculated calculation cancel candidate canine care catch center centre chair changes charge cheap cheaper
    cheapest chew chewed choice choosing cited clean clinic closest cloud cloudy cold collect common computed
    concentration confidence contain container contract conversation cost costs crescent crown crush crushed
    crushing cube curl damage damaged damp danger dangerous dark date dead deadly deep defined definition deliver
    delivered depth describe desk dessert differ differences direct distance dozens drink drinks drooped dropping
    eaten eats edges edible equivalent escape exhibition expectancy expected expensive factor fail fall falling
    feed feet fewest fifth fifties finger fire fireplace flammable flat flopping floppy fluffy foot force form
    former formula fortnight fourth frozen goodbye hall hammer handling harden hardier harmful harvest heaviest
    height heights held hollow hospice household hung ideal identify ignore imperial inch individual inner input
    intensive internal irritant irritate irritating jars kilo kilograms landed lasted lasting lasts latin latter
    lemon length level lick lifetime light linear live lived lobby logic lose losses lost maintenance margin
    marked meters metre metres million mixed mixes mixture moves native nearest neck nibbled nicely nickname
    nights nitrate northern nursing office opposite option options orange original ounces outer packed paid pale
    parts party paying pink plain porch pots pounds pour powder press prevent price priced prices pricing process
    profit puppies purchase purple purpose query quotation rank rash ratio reads reception reckoned rectangular
    refreshed refreshing refuse remains remove renew renewed replace replaced replacement replacements replacing
    rescue reset ring risk rubbish scented schedule scientific scissors scrap scratch seat sell selling sensitive
    sensitivity service shape sharpen shorter shortest shrink sick single skin skip sleepy slimy slots smell
    smelly snapped soak soaked soaking soft sold soonest sound source sources span spent spiky split splitting
    spoil spring stack staff stamens stands statement sting stood stores storing straighten summer sums surplus
    survived survives swallow swallowed switch tablespoon tablespoons tank teaspoon teaspoons tens tent tenth
    terrible texture textured thermal thermometer thirst thumb topped tough tougher trailing translucent tray
    treat treatment treats trolley turning twenties twentieth undo unsafe upright upset useless venom venomous
    versus wards wastage waste wasted waters wear weigh weighs white wilts winter wispy wraps yellow yellowing
    zero
    """.split()
)

# English words the encoder's vocabulary lacks that stand one slip from a word above: no misspelling of it.
EVERYDAY_WORDS = frozenset(
    """
    abound aches acis adder addressee adoptee adware agility albright alleges allocates aloha alum angell anglian
    anticipates antlers aphis apologise applet applets appointee appreciates aptitude arian asker assignee
    attendee atypical australasian authorizes automates aversion avert babble babes bade bale bally banding bans
    barbeque barfly barth basses basset bead beaded becket beets bellow beng bennie bess bevan bier billets bleu
    boas boast bobble bock bonny borer boron boson brash bream breda breech brice bridle brie britt bruin brunch
    brunt bullion bund buns bunt bushel bushels buss buttery cabal caged calculator calender californian
    californians campion cams canes canter capacitors carman cartes carve cased castor cate catharine celeb centra
    certifies chairmen changer chap characterizes cheep cheery chine chino citrate civilisation clams cleat clos
    closets coals coeds coils collage collages collet collusion cols commend commute compiles comps concentrator
    condensation conditioner conditioners conduction conga congested congressmen cons continua conto contradict
    conversational cooker cookers coopers coos cornet corral corse cosh cosy cots counteract countrywide cram
    crass creme crick criticizes crock crusher crustal cull culled culling curios currant cushing cuties dato
    deane dearly debit debug deceit deceive deceived decode decorators defied defies dependant derail derailed
    devotee digs dilated dilation dine disables dist diversify doable donner dork dorking dosed dost dragoon drier
    dries drifts drips drivel drool drooling droughts drunks duds dues eben ejection encoder encodes endorses
    enrollee enrolment ensue entitles entrees eros especial ester ethic evaporated evaporative evaporator excise
    exert exerts expend expended fader fads faery fallow farce fared fats fave faves faxed feller fend fertilized
    fete fiend filer filers fillet fillets fils finisher fino firmer fixer fixes flake flakes flapping flite floss
    fluff fluor foal foals foosball forgo formulae fortuna frag franchisee frankfort fraught fret freya furl furs
    gallop gallows gama gats gavel gays gees generality genova glace glazing glob goggle goofs gory gower grantee
    grated grates gree griffon gripe gripes grocer grocers guile gusts hallowed harrier hater haters headers heed
    henna herpes heya hippy hither hoard hoes hoke hondo hone honks hopi horus hospitable hotkey humility hummer
    hutch hypotheses ides imago immoral impart imparted importer importers inane infernal infested informatics
    informational informative ingested injure inlaid installer installers instill intensify internat interne
    interviewee jabs jakes jest jonathon joss juke keeling knack koran lager lain lander landes langer larder
    largo lated latent lats latte leas lect leda lees leif lemma lessee lessor lewd liber lice licensee lien liens
    limos lind lino linus litters loam loaves locale locket lode logon loin loins loom looms loon lopes lorry lows
    lucio lumps lune lute mako mamma manger manta mantel marci marcy marlin masque masts materialism materiel
    mather matte matted mech medea medico meld melton mend menus meson meth methylene metros meyers micron mikes
    milled mime minis minot minster minx mise misused mite mitre mobil mods moduli modulo moet moles monies mooney
    moro morphy mortgagee mote motivates mots motte mousse mover multimeter munch muon murine muslin myst navel
    nerd nerds nether nibbles nigh nitrite noes noose notional noyes nudes nutritious oily olivet onus packer
    paging panes panning pans pant pariah paring parity parka parr pars parse parson paton pats pauli payoff
    payoffs pegs peirce pele pent peri perl permian pert pertain petting philippa picker pies pings pisces pitting
    placer placid planer planing plano plantar playa plums pointers polis politico pols popes poplar popper posh
    potting potts powys prater precedes preformed preparer preset presets pretest prides primo prion prise profess
    propel prosper provo pubic pugs puller pulley puns punts puree quack quantify quarks quartets quito quits quod
    rabin racket rackets radii rant rata rater ration realisation realty reap reaping rearing recite recon rect
    recur recutting reedy reflux refresher refrigerant refrigeration refute relayed relive remand remanded repent
    rept rescission retard rete retiree retraining revel revere reverence revise revises rewind rial rife rinsed
    rivas rive rivet rivets roget roost rote rumanian rung rusk sager sages salas salve sandal sanding sanger
    sarge sarong saturation saver scant scatter schema scones scour scrip seams sear secretory seeding seer senor
    sensibility servo sewn shad shew shilling shingle shorted shredding shreds shrunk shutters sieve sift sifting
    signer sill sills silt simile simmer simplex simplifies sind sine singaporean singlet sips siting situational
    skim slander slat slaw slaying sledding sleeved slew slider slime sliver slumber sluts smears smother snapper
    snare snares snark snipe snippet snoring solon solver soma sondra soot sores sorta sorter spake spam spar spas
    spate spay speer spicer spitz splat splint spoilt spokes spool spore sprite sprites spurt sputtering squires
    stag stang stave stead stent stile stiles stine stirs stomp stoop stopper stork strep stripper strippers
    stuttering styli suction suggestive summed sundry supt surah swatch tabla tabled tabs tain taka takin tamer
    taming tana taos tapas tass taxed teak teas tees tempe termites tern terns terran therefor thingies thingy
    thongs throughput ticker tickle ticks tiers tine tins toed toke tonne topper tosh touted touting touts tramp
    translational translocation trice trifle trimmer trimmers triplet triplex trophic tummy turnkey twas twine
    typo typos unavoidable understated unify universality utilised vail valentino veal vending vernal verso vibes
    vino viol vise vocation vries wafer wafers wager wagering wagers wane wares warts wattage waxed weaning
    weeding weirdo welt wham wherefore whim whit whither whomever whopping whores wicker wiles wily wimps winches
    winder wisp yeats yoghurt yogi zeeland zillion zines
    """.split()
)

# Words of subjects the handbook does not treat: money matters, kitchens, machines, trips, news, gardens.
FOREIGN_WORDS = frozenset(
    """
    account airline airport fleas flea ticks injection injections vaccination vaccinations vaccinated jabs alarm album algebra android apple app article atm atom avocado bacon bake baked baking
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
# Names of flowers that people bear too, and the words beside a person's name.
_PERSON = (
    r"\b(?:hi|hey|dear|tell|ask|asked|told|named|called|name is|name's|boss|colleague) ‹›|"
    r"‹› (?:says?|said|asks?|asked|wants?|reckons?|told|thinks?|rang|called|is off (?:sick|ill|today)|is on (?:holiday|lunch)|has gone home)\b|"
    r"‹› and [a-z]+ are (?:both )?(?:off|away|on holiday|ill|sick)\b|\b[a-z]+ and ‹› are (?:both )?(?:off|away|on holiday|ill|sick)\b|"
    r"\b(?:mrs?|miss|ms|auntie|aunt|nurse|(?:my|his|her|our|their|the) (?:friend|mate|gran|nan|niece|daughter|sister|aunt|auntie|wife|cousin|neighbour|flatmate|apprentice|manager|client|customer|bride)) ‹›(?! (?:flowers?|stems?|order|bouquet|bunch))|"
    r"‹› (?:on the (?:till|phone|door|front desk)|from (?:accounts|next door|reception|the office|upstairs|work|marketing)|in (?:accounts|reception|marketing|the office (?:says|wants|asks|likes|hates|prefers|has))|insists|swears|claims|fancies|(?:hates|loves) (?:them|those|him|her|my|our))\b"
)
# What belongs to a mother and to no chrysanthemum.
_OF_A_MOTHER = (
    "birthday|house|home|flat|garden|room|kitchen|bedside|grave|graveside|headstone|plot|ashes|memorial|funeral|coffin|wake|wedding|cat|cats|dog|"
    "dogs|friends?|sister|brother|mother|side|party|table|mantelpiece|windowsill|vase(?! life)|cake|hospital|ward|carer|nurse|neighbours?|church|bouquet|"
    "allerg(?:y|ies)|asthma|hay ?fever|hands?|skin|face|sixtieth|60th|70th|80th|90th"
)
# Names that are everyday words, with the settings in which the everyday word is meant.
# The pattern sees 30 characters before, "‹›" for the word itself, and 30 after.
HOMONYMS: dict[str, re.Pattern[str]] = {
    "suns": re.compile(
        r"\b(?:the|when|once|if|where) ‹›|‹› (?:out|up|right|hot|strong|shin\w*|beat\w*|stream\w*|gone|been|on)\b"
    ),
    "sun's": re.compile(r"‹›"),  # "the sun's out": the short name is said of several
    "glad": re.compile(
        r"\b(?:be|am|i'm|we're|is|are|was|were|very|so|only|too|most|just|really|feel|that) ‹›|^‹›|‹› (?:to|of|if|that|i|i'm|you|you're|we|they|he|she|it|it's|when|for (?:your|any|some|a hand|help|the help|an? (?:answer|hint|word)))\b"
    ),
    "snaps": re.compile(
        r"\b(?:in|of) (?:\d+|ten|five|every \d+) ‹›|\b(?:it|one|half|wood|stem|he|she|who|which|that|trainee|student|learner|girl|boy|lad|somebody|someone|florist|frost|wind|nothing|anything|everything|none|never) ‹›|‹› (?:off|in (?:two|half)|easily|clean|when)"
    ),
    "snap": re.compile(
        r"\b(?:they|them|stems?|to|will|might|could|would|heads?|twigs?|cold|(?:of|for) (?:it|them|these|those)) ‹›|‹› (?:off|decision|them|it|one|in (?:two|half)|clean|easily|when|if)"
    ),
    "mum": re.compile(
        r"\b[a-z]+'s ‹›(?! (?:stems?|heads?|blooms?|plants?|sprays?|flowers?))|\b(?:new|a|my|her|his|our|your|their|the|one|for|to|dear|hi|hey|expectant|birthday|god) ‹›(?! (?:stems?|heads?|blooms?|plants?|sprays?|flowers?|bunch))|^\W*‹› (?:died|passed|adores?|hates?|swears|swore|bought|brought|gave|gives|picked|planted|tells|told)\b|‹›(?:'s|s)? (?:wants?|said|says|is|likes?|birthday|bedside|house|flat|kitchen|day|to be|asked|rang|order|has (?:a|the|her|no)|keeps? (?:a|the|her|it)|lives|turned|put|left|calls|always|used to|thinks|reckons|grows|loves)\b|‹› and (?:dad|baby)"
    ),
    "mum's": re.compile(
        r"\b(?:my|his|her|our|your|their|at|to|from|round|outside|near) ‹›|‹› (?:asked|after|got|been|wanting|coming|having|bringing|doing|old|new|own|favourite|favorite)\b|"
        rf"‹› (?:{_OF_A_MOTHER})\b"
    ),
    "mums": re.compile(
        r"‹› (?:grave|headstone|ashes|house|flat|kitchen|bedside|funeral|coffin|cat|dog|60th|70th|80th|90th)\b|\b(?:new|my|expectant) ‹›|‹› (?:birthday|house|day|to be|group|and babies)\b"
    ),
    "stock": re.compile(
        # A verb, or the goods counted: "the greens we stock", "counting stock", "our stock of foam".
        r"\b(?:i|we|you|they)(?: (?:always|only|usually|normally|already|mostly|currently))? ‹›(?! (?:and|or|vs?|versus)\b)|"
        r"\b(?:counting|checking|valuing|tallying|auditing) ‹›|\b(?:our|my|your|their|the shop's) ‹› of\b|"
        rf"\b(?:i'd|we'd|you'd|they'd|i'll|we'll|don't|doesn't|didn't|never|also) ‹›|\b(?:i|we|you|they|to|should|shops?) ‹› (?:it|them|that|this|those|these|any|up|more)\b|\b(?:in|(?<!get )(?<!getting )(?<!got )(?<!have )(?<!days )(?<!life )(?<!more )out of|our|my|the whole|(?<!you )take|(?<!you )taking|check|existing|old|current|new|dried|shop|weekend|as|(?<!days )(?<!life )(?<!out )(?<!long )(?<!get )(?<!expect )from|cannabis|chicken|beef|vegetable|spare|dead|rotate|rotating|use up|into) ‹›(?! (?:is|are|was|were|last|came|come|comes|arrived|landed|showed up|stood|turned|got|won't|will|looks?|looking|has|have|needs?|seems?|went|goes|smells?|died|wilted|drooped|flowers?|stems?|heads?)|[.,;]? (?:it|they)(?:'ve|'s)? (?:got here|came|come|arrived|been|has been|have been|landed)| (?:and|or) [a-z]+,? (?:which|who|what)\b)|"
        rf"‹› (?:{_MONEY}|take|room|list|sheet|book|count|up\b(?! against)|pot|cube|rotation|level|control)|(?:{_MONEY})[^‹]*‹›"
    ),
    "stocks": re.compile(
        rf"(?:my|the|cannabis|oil|tech|bank|buy|sell|penny) ‹›[^.?!]*(?:{_MONEY}|doing|worth|today)|(?:{_MONEY})[^‹]*‹›|‹› (?:and bonds|{_MONEY})"
    ),
    "rose": re.compile(
        _PERSON
        + r"|\b(?:it|price|temperature|sun|he|she|prices|they) ‹›(?! (?:is|are|will|last|do))|‹› (?:to|from|by) (?:\d|its|a record|over|nearly|about)|‹› (?:gold|wine)\b"
    ),
    "roses": re.compile(r"guns (?:n|and|n') ‹›"),
    "heather": re.compile(_PERSON + r"|\b(?:with) ‹›"),
    "iris": re.compile(_PERSON + r"|\beye[^‹]{0,24}‹›|\beye'?s? ‹›|‹› of (?:an|the|her|his|my|your|one) eyes?\b"),
    "ginger": re.compile(
        r"‹› (?:tom|toms?|cats?|kittens?|moggy|hair(?:ed)?|beer|ale|tea|nuts?|biscuits?|cake|bread|wine|shot)\b"
    ),
    "holly": re.compile(_PERSON + r"|\bbuddy ‹›"),
    "ivy": re.compile(_PERSON + r"|‹› league|poison ‹›"),
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
    **{name: re.compile(_PERSON) for name in ("veronica", "erica", "poppy", "myrtle", "fern", "lizzie", "violet")},
    "bop": re.compile(r"\b(?:school|to|disco|a|the) ‹›|‹› (?:along|to|around)\b"),
    "hyper": re.compile(
        r"‹› (?:kids?|children|toddlers?|active|pupp\w+|dogs?|boys?|girls?|\d|one|two|three|four|five|six)\b|"
        r"\b(?:kids?|children|they|they're|boys?|girls?|toddlers?|he's|she's|dogs?|pupp\w+) (?:are |is |get |gets |being )?(?:all |so |really |a bit )?‹›"
    ),
    "cat's paw": re.compile(
        r"\b(?:our|my|her|his|the|their|your|neighbour's) ‹›(?= (?:is|was|has|got|looks|went|came|after|cut|hurt)\b)"
    ),
    "paw": re.compile(r"\b(?:'s|her|his|its|cat|dog|a) ‹›"),
    "bay": re.compile(
        r"‹› (?:area|window|bridge|\d|number|one|two|three|four|five|six)|\b(?:loading|the|a|san francisco|tampa|green|at|on|in) ‹›"
    ),
    "box": re.compile(r".*"),
    "daisy": re.compile(_PERSON),
    "lily": re.compile(_PERSON),
    "jasmine": re.compile(_PERSON + r"|‹› rice"),
    "broom": re.compile(r"\b(?:sweep|with a|the) ‹›"),
    "cotton": re.compile(r"‹› (?:shirt|swab|wool|ball|bud|t-?shirt|fabric|cloth|gloves?)"),
    "pepper": re.compile(
        r"\b(?:to|and) ‹› (?:the|it|them|\d)|‹› (?:spray|corn|mill)|\b(?:salt and|black|bell|cayenne) ‹›"
    ),
    "moss": re.compile(r"\b(?:kate|remove|kill|lawn) ‹›"),
    "thrift": re.compile(r"‹› (?:store|shop)"),
    "flax": re.compile(r"‹› (?:oil|seeds?)"),
    "oak": re.compile(
        r"‹› (?:table|floor|desk|furniture|barrel|ridge|land|sideboard|dresser|beams?|panel\w*|doors?|counter|bar|board|pews?|chest|stairs?|veneer|cabinet|mantel\w*|shel(?:f|ves))\b"
    ),
    "pine": re.compile(
        r"‹› (?:table|floor|desk|furniture|sideboard|dresser|door|counter|pews?|shel(?:f|ves)|needles on)\b"
    ),
    "palm": re.compile(r"‹› (?:of|beach|springs|oil|sunday)|\bmy ‹›"),
    "palms": re.compile(r"\b(?:my|sweaty) ‹›"),
}
