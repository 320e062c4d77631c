"""Which task a clause asks for, by weighted signals.

Each signal is a phrase people use and how strongly it speaks for a task. The strongest signal of a task is its
score; a second one adds a little. Signals only look at words, never at what the handbook would answer.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from assistant.language.question import Task

_HOW_LONG = r"how (?:long|many (?:more )?(?:days|weeks))"
_THING = r"(?:it|they|them|these|those|this|that|[a-z' -]{2,40}?)"

_SIGNALS: tuple[tuple[Task, float, str], ...] = (
    # longevity
    ("longevity", 3.0, rf"\b{_HOW_LONG}\b[^.?!]*\b(?:last|lasts|lasting|live|hold(?: up| on)?|survive|go|good|got|left|have|has|hang on|stay fresh|stand up|"
                       r"before (?:they|it)|until (?:they|it)|remain\w*|be ok|look (?:good|ok|nice)|keep (?:fresh|going|looking)|stay (?:good|nice))\b"),
    ("longevity", 2.6, r"\b(?:vase|shelf|display)[- ]?life\b|\blife ?(?:span|time)\b|\blongevity\b|\bdays (?:left|remaining|of life|do (?:i|we) (?:have|get))\b|\bdays (?:can|will|do|would) (?:i|we|they|it)\b"),
    ("longevity", 2.4, r"\b(?:will|would|can|could|do|does|should|won't|gonna|going to)\b[^.?!]*\b(?:last|make it|hold(?: up| out| on)?|survive|see (?:out|me through)|get (?:me|us)? ?(?:to|through)|go the distance|stay (?:fresh|nice|good)|still be (?:good|ok|alive|fine|fresh))\b"),
    ("longevity", 2.2, r"\bhow (?:long|many days)\b"),
    ("longevity", 2.6, r"\bwhen (?:is|are|will|would|'s) (?:it|they|these|those|that lot)(?:'d|'ll)? (?:be |all be |going to be )?(?:finished|done for|past it|past (?:its|their) best|spent|gone over|ready for the (?:bin|compost))\b"),
    ("longevity", 1.8, r"\b(?:last|lasts|lasting) (?:for|until|till|to|through|how long|in|at|me|\d)|\b(?:when (?:will|do|does|would|should)\b[^.?!]*\b(?:die|go over|drop|wilt|fade|be done|give up|finish|turn|be finished|expire))|\buse[- ]by\b|\bhow (?:much|many) (?:longer|more (?:time|days)|time|life)\b|\bdays (?:have|has)\b|\bgood for\b|\bwhat(?:'s|s| is) left\b|\bwhat remains\b|\bexpected life\b|\b(?:do|manage|give (?:me|us)|get me|see) (?:me )?\d+ (?:days|weeks)\b|\blife (?:of|expectancy|at|in)\b"),
    ("longevity", 2.2, r"\blife (?:at|in)\b|\bremains?\b|\bremaining\b"),
    ("longevity", 1.5, r"\b(?:days|weeks|months|years|how long)\W*$"),
    ("longevity", 2.4, r"^\W*(?:and |or |also )?(?:how many )?(?:days|weeks) (?:at|in|on)\b[^.!]*\?"),
    ("longevity", 2.4, r"\b(?:keep|last|hold|stand|good)\b[^.?!]*\bhow many (?:days|weeks|months|years)\b|\bhow long (?:may|might|can|could|will|do|does|would|should)\b[^.?!]*\bstand\b"),
    ("longevity", 1.0, r"\blast(?:s|ing)?\b|\bexpir\w+|\bstill (?:good|ok|fine|usable)\b|\bkeeps?\b|\btoo old\b"),
    # storage
    ("storage", 3.2, rf"\b(?:{_HOW_LONG}|can|could|should|may|how|where|what)\b[^.?!]*\b(?:stor(?:e|ed|ing)|refrigerat\w+|(?:keep|kept|hold|held|sit|stay|leave|left|put|go|live|be|last|kept)\b[^.?!]*\b(?:cooler|fridge|cold ?(?:room|store|storage|cell)|cooling (?:cell|room)|cool ?room|walk-?in|chiller))\b|\bin the cold\b[^.?!]*\b(?:how (?:long|many days)|until when)\b[^.?!]*\b(?:left|stay|kept|sit|stand|keep)\b"),
    ("storage", 3.4, r"\bin (?:the |a |our )?(?:cooler|fridge|cold ?(?:room|store|cell)|cooling (?:cell|room)|cool ?room|chiller)\b[^.?!]{0,12}\b(?:possible|allowed|too long|okay|ok|all right)\b"),
    ("storage", 3.2, r"\b(?:storage|storing|store|cooler|fridge|holding|cold room|chiller|keep\w*) (?:temp\w*|temperatures?|life|time|conditions?|limit)\b|\b(?:what|which) (?:temp\w*|degrees)\b[^.?!]*\b(?:store\w*|cooler|fridge|keep|kept|hold|held|storage|like|want|at)\b"),
    ("storage", 3.2, r"\bhow (?:cold|cool|warm)\b[^.?!]*\b(?:store|cooler|fridge|keep|kept|hold|be|can|should|too|go|take|stand|like|want)\b|\btoo cold\b|\bfreez(?:e|es|ing)\b|\bchill(?:ing|ed)? (?:injury|damage|sensitive)\b|\bfrost\w*"),
    ("storage", 2.4, r"\b(?:store|storing|stored|storage|refrigerat\w+)\b|\b(?:dry|wet)[- ]?(?:pack|store)\w*\b|\bhold (?:them|it) (?:dry|wet)\b"),
    ("storage", 2.6, r"\bwhat(?:'s|s| is) the (?:right |best )?temp\w*\b|\bwhat temp\w*\b"),
    ("storage", 2.6, r"\bhold(?:ing)? (?:temp\w*|at)\b|(?<!room )\btemp(?:erature)?s?\W*$|\bhow cold\b|\bchill\w*\b|\bcooler or not\b|\bbad idea\b|\bcooler set\b|\b(?:dry|wet) or (?:in water|wet|dry)\b|\bhow many (?:days|weeks) cold\b"),
    ("storage", 2.4, r"\b(?:ideal|right|best|what) humidity\b|\bhow (?:damp|dry|humid)\b"),
    ("storage", 1.6, r"\b(?:dry )?in (?:a |the |its |their )?box(?:es)?\b|\bboxed\b|\bstore at\b"),
    ("storage", 1.3, r"\b(?:cooler|fridge|cold room|walk-?in|chiller)\b"),
    # quantity
    ("quantity", 3.2, r"\bhow many\b[^.?!]*\b(?:bunch(?:es)?|stems?|bundles?|wraps?|heads|blooms|boxes)\b|\b(?:bunch(?:es)?|stems?) (?:do|should|would|to|will) (?:i|we|you|order|buy|get)\b|\bhow many (?:of them |of those )?(?:do|should|would) (?:i|we) (?:need|order|buy|get)\b"),
    ("quantity", 3.0, r"\bwhat (?:do|should|must|would|shall) (?:i|we) (?:order|buy|need)\b|\bwhat(?:'s|s| is) needed\b|^\W*stems? (?:for|to)\b|\bstems for (?:a|an|the|one)\b|\bwork out (?:the )?(?:stems|bunches|quantit)|\bnot? (?:loss|waste)\b"),
    ("quantity", 2.6, r"\b(?:order|ordering|buy|buying|get in|purchase)\b[^.?!]*\b(?:\d+(?!st|nd|rd|th|\d)|how (?:many|much)|enough|bunch\w*|stems?)\b|\bhow (?:many|much)\b(?! (?:more |extra )?(?:days?|weeks?|hours?|water|flower food|bleach|sugar|longer|time))[^.?!]*\b(?:order|buy|need|get|cover|fill|use|require)\b"),
    ("quantity", 2.6, r"\b(?:stems?|how many|number|come|comes|count)\b[^.?!]*\b(?:(?:in|to|per) (?:a|the|each|every|one)? ?(?:bunch|bundle|wrap|pack))\b|\bbunch (?:size|count)\b|\bpack size\b|\bstems (?:per|in (?:a|the|one)|to (?:a|the)) bunch\b|\bstem count\b|\b(?:a|one|1) bunch\b[^.?!]*\bhow many stems\b|\bbunch of (?:them|these|those) (?:supposed|meant)\b|\ba bunch is how many\b|\bhow big is (?:a|the) bunch\b"),
    ("quantity", 2.0, r"\bhow many (?!(?:more )?(?:days|hours|weeks|months|years|times)|times|litres|liters|gallons|degrees|people|visits|ppm)\w+|\benough (?:for|to|stems|bunches)\b|\b(?:is|are|will|would) [^.?!]*\b(?:be )?enough\b|\bbunches? (?:for|of)\b|\bwork out the order\b|\border list\b"),
    ("quantity", 1.4, r"\b(?:need|order|want|require)\b[^.?!]*\b\d+\b|\bbunches\b|\bper (?:piece|table|arrangement)\b|\bhow much (?!water|longer|time|food|bleach|sugar|does|do|is|are|are|would|should i charge|will)[a-z ]+\b"),
    ("hazard", 2.8, r"\bwith (?:the |my |a )?(?:cats?|dogs?|kids|children|toddlers?|pets) (?:about|around|in the (?:house|room)|there)\b"),
    ("describe", 2.6, r"\btell me (?:more |something |a bit )?about (?:it|them|that|those|the)\b"),
    ("care", 4.6, r"^\W*(?:and )?(?:mixed|together|in) with\b"),
    ("care", 2.6, r"\bmix(?:ed|ing)? (?:\w+ )?(?:with|and)\b|\bin (?:one|the same) (?:vase|bucket|water) (?:as|with)\b|\bshar(?:e|ing) (?:a |the )?(?:vase|bucket|water)\b"),
    # water
    ("water", 3.2, r"\bhow much water\b|\bhow (?:often|frequently)\b[^.?!]*\b(?:water|top|fill|refill)\w*|\bwhen\b[^.?!]*\b(?:top ?up|refill|run (?:dry|out)|go dry|top it|need water)\b|\bhow (?:many|much) (?:lit(?:re|er)s?|gallons?|pints?|quarts?|ml|l)\b|\bhow (?:full|deep)\b[^.?!]*\bwater|\bwater level\b"),
    ("water", 2.8, r"\btop(?:ping|ped)?[- ]?(?:up|ups|off)\b|\brefill\w*|\bre-?water\w*|\brun(?:s|ning)? (?:dry|out of water)\b|\bgo(?:es)? dry\b|\b(?:capacity|volume) of\b|\bhow (?:heavy|much (?:does|will|would) (?:it|this|that|the|a)[a-z ]* weigh)\b|\bweigh(?:s|t)?\b(?! out| in(?= (?:grams?|the (?:sugar|food|powder))))|\bhow much (?:does|will|can|would)\b[^.?!]*\b(?:hold|take|drink|use|need)\b[^.?!]*(?:water)?"),
    ("water", 5.0, r"\bhow (?:much|many)\b[^.?!]*\bdrinks?\b(?! longer)|\bwhat (?:do|does|will|would|can|might)\b[^.?!]*\b(?:drinks?|take up|get through|suck up|put away)\b|\b(?:what|how much) (?:it|they|these|those|that lot|this lot|the lot)(?:'d|'ll| would| will| can| could| might|)? (?:drinks?|takes? up|gets? through|sucks? up|puts? away)\b"),
    ("water", 2.2, r"\bwater (?:needed|uptake|use|consumption|requirement)s?\b|\breservoir\b|\bdrink(?:s|ing)?\b|\bfill(?:ed|ing)? (?:it|the|a|to|up)\b|\bevaporat\w*|\b(?:vase|vessel|bowl|bucket|trough|cylinder) (?:hold|holds|volume|capacity)\b|\bthirst\w*"),
    ("water", 3.0, r"\bneeds? (?:any |some )?water\b|\bput [^.?!]*\bin water\b"),
    ("water", 2.6, r"\b(?:volume|capacity)\b|\bin (?:lit(?:re|er)s?|gallons|ml|pints|kilos)\b|\bkilos?\b|\b(?:one|1|a) person\b[^.?!]*\b(?:lift|carry)\b|\blifting\b"),
    ("water", 1.0, r"\blit(?:re|er)s?\b|\bgallons?\b"),
    # mixing
    ("mixing", 3.2, r"\b(?:how much|how many|what|amount)\b[^.?!]*\b(?:bleach|flower food|plant food|vase food|preservative|food powder|sugar|citric acid|sanitis\w*|sanitiz\w*|glycerin\w*|hypochlorite|chlorine|disinfect\w*|lemon juice|vinegar)\b"),
    ("mixing", 2.8, r"\b(?:dilut\w+|mix(?:ing)?|make up|ratio|dos(?:e|age|ing)|concentration|strength|solution|ppm|parts?)\b[^.?!]*\b(?:bleach|food|preservative|sugar|acid|sanitis\w*|sanitiz\w*|glycerin\w*|solution|water|chlorine|ppm|buckets?)\b|\b(?:bleach|sugar|glycerin\w*|citric acid|flower food) (?:to|per|in|for|solution|ratio|mix)\b"),
    ("mixing", 2.8, r"\bhow (?:strong|weak) (?:do|should|must|shall|would) (?:i|we|you|it|the (?:mix|solution))\b"),
    ("mixing", 2.6, r"\b(?:sugar|sucrose)\b[^?!]*\d ?(?:%|per ?cent|g|grams?|l|lit(?:re|er)s?)(?:\b|$)|\d ?(?:%|per ?cent) (?:sugar|sucrose)\b"),
    ("mixing", 2.6, r"\b(?:bleach|chlorine|hypochlorite|vinegar|glycerin\w*|citric acid|flower food)\b[^?!]*\d ?(?:ppm|parts per million|l|lit(?:re|er)s?|ml|gal(?:lon)?s?|quarts?|pints?|%|percent)(?:\b|$)"),
    ("mixing", 2.0, r"\b\d+(?:\.\d+)? ?(?:ppm|mg/l|parts per million)\b|\bdilut\w+|\bbleach\b|\bflower food\b|\bsanitis\w+|\bsanitiz\w+|\bg(?:rams?)? per lit(?:re|er)\b"),
    # substitute
    ("substitute", 3.4, r"\b(?:sub(?:s|st)it?ut\w*|subs?(?= for)|replacements?\b(?! stems| visits)|options\?|swap(?:s|ped|ping)?(?! out)|stand[- ]?ins?|alternatives?|replace(?:ment)?s? for|in place of|fall ?back|similar to|equivalent|stands? in)\b|\b(?:instead of|rather than) (?!foam|water|a vase)"),
    ("substitute", 3.0, r"\b(?:can't|cannot|couldn't|can not|cant|couldnt|won't be able to|wont) (?:get|find|source|have|buy)\b|\b(?:unavailable|sold out|out of stock|not available|no(?:t any)? [a-z ]+ (?:to be had|available|at (?:the )?(?:market|wholesaler))|short(?:ed)? (?:me|us|on)|(?:wholesaler|grower|supplier|market|they) (?:is|are|has|have)? ?(?:no|out of)|didn't (?:come|arrive)|ran out|run out of|out of (?!water|the\b|season|sun|foam|reach|date|ten|a\b|\d))"),
    ("substitute", 2.6, r"\bwhat (?:else|other|could|can) (?:[a-z ]+ )?(?:use|go with|work|do)\b|\bsomething (?:like|similar|else)\b|\blook(?:s)? like\b|\bwhat(?:'s| is) (?:like|close to|closest to|nearest)\b|\breplace (?:the |my |our )?[a-z ]+ with\b|\bwhat (?:can|could|should|do) (?:i|we) (?:use|put(?! (?:down|on the order|in for))|get instead)\b"),
    ("substitute", 3.0, r"\b(?:what|which|anything|something)\b[^.?!]*\b(?:do|go|work|stand|serve|come|pass|use|put|have)\b[^.?!,]* in (?:its|their|his|that) (?:place|stead)\b"),
    ("substitute", 2.8, r"\buse in (?:its |their )?place\b|\b(?:what|anything|something|which ones?)\b[^.?!]*\binstead\b|^\W*instead\b"),
    ("substitute", 2.4, r"\b(?:something|anything|some) (?:that |which |in )?(?:white|blue|red|pink|yellow|orange|purple|green|tall|long|cheap|airy|fluffy|wispy|soft|spiky|scented|tough|small|big|textur\w+|lilac|peach|cream|burgundy|dark|pale)\b"),
    ("substitute", 2.3, r"\b(?:find|suggest|recommend|give|show|need|want|looking for|looking to|after|got any|any|list|which|what|ideas?)\b[^.?!]*\b(?:filler|line|mass|focal|form|green|greens|greenery|foliage|flowers?|accent|stems?|branch(?:es)?|berr(?:y|ies)|grass(?:es)?|textures?)\b"),
    # care
    ("care", 3.0, r"\bhow (?:do|should|would|can|to|d'you|might)\b[^.?!]*\b(?:condition|prep(?:are|ping)?|process|hydrate|rehydrate|treat|handle|cut|recut|trim|look after|care for|take care|strip|clean|open|perk up|revive|rescue|fix|straighten|force|dry|preserve|press|keep [a-z ]+ (?:from|upright|straight)|stop|prevent|harden|soak|wire|unpack|buy|choose|pick|tell|deal)\b"),
    ("care", 2.8, r"\b(?:condition(?:ing)?|care(?: for| of| tips| guide)?|prep(?:ping|are|aration)?|process(?:ing)?|handling|looking after|hydrat(?:e|ing|ion)|aftercare|recut\w*|re-cut\w*)\b(?! (?:home|the order))"),
    ("care", 2.8, r"\b(?:droop\w*|wilt\w*|limp|floppy|flop\w*|sad|bent ?neck\w*|bending|nodding|yellow(?:ing)? leaves|brown(?:ing)? (?:edges|tips|leaves|petals)|brown(?:ing)?|black(?:ened|ening)?|cloudy|smell(?:s|y)|slim(?:y|e)|mould\w*|mold\w*|botrytis|dropp(?:ing|ed) (?:petals|florets|buds|needles|leaves)|shatter\w*|shed(?:s|ding)?|fad(?:e|es|ing)|won't open|wont open|not opening|buds? (?:aren't|arent|are not|won't|wont|not|don't|dont)|sleepy|curl\w*|going over|crispy|translucent|blown)\b"),
    ("care", 2.6, r"\bethylene\b|\bwhat (?:should|do) (?:i|we|you) (?:do|look for|check)\b|\bwhat to (?:do|look for|check)\b|\b(?:likes?|hates?|works?|go|goes|use|used|ok|okay|suitable|suit|put|do well|drinks?|manage|happy)\b[^.?!]{0,30}\bfoam\b|\bhow (?:deep|long)\b[^.?!]*\b(?:soak|hydrate|condition|drink (?:before|first))\b|\b(?:hot|warm|cold|boiling|lukewarm) water\b|\bdr(?:y|ies|ying) (?:well|it|them|out well|nicely)\b|\bcan (?:i|we|you) (?:dry|mist|spray|freeze-dry|press)\b|\bmist(?:ing)?\b|\bsear\w*|\bremove the (?:leaves|foliage|pollen|anthers)\b"),
    ("care", 2.8, r"\b(?:buying|harvest|cutting|purchase) stage\b|\bstage (?:to|should|for)\b|\b(?:arrival )?checks?\b|\bstraight in with\b|\bwith other (?:flowers|stems)\b|\bsplit\b|\bcrush\w*\b|\bhammer\w*\b|\bhollow\b|\bfruit\b|"
             r"\bdrops? (?:its |their |the )?(?:needles|leaves|petals|florets|buds|berries)\b|\b(?:petals?|leaves|florets?|needles?|buds?|berries) (?:are |is |keep )?(?:dropping|falling|fall|drop|turning|browning|going)\b|\bleaves off\b|\bbest vase\b|\bunder ?water\b"),
    ("care", 3.6, r"\bget [^.?!]* off\b|\b(?:remove|clean|take) (?:the )?(?:pollen|anthers|stamens)\b|\bhow long\b[^.?!]*\b(?:take|to (?:dry|open|hydrate|condition|drink|soak))\b"),
    ("care", 2.8, r"\bhow deep\b|\bdeep water\b|\bshallow water\b|\bdo (?:they|it|[a-z ]+) need (?:deep|shallow|much|a lot of)\b|\bin water\?"),
    ("care", 1.6, r"\b(?:stop|prevent|avoid|keep) [^.?!]*\b(?:from|drooping|wilting|opening|dropping)\b|\bwhat(?:'s| is) wrong\b|\bwhat kills\b|\bwhat ends\b|\btips\b|\bwhat (?:does|do) [^.?!]* (?:need|like|want)\b|\btreatment\b|\bhow (?:do|should) (?:i|we) (?:do|make|build|start|set|seat|attach|tape)\b"),
    # hazard
    ("hazard", 3.4, r"\b(?:poison\w*|toxic\w*|venom\w*|harmful|hazard\w*|dangerous|danger|deadly|safe(?:r|st|ty|ly)?|unsafe|allerg\w+|irritat\w+|rash(?:es)?|dermatitis|edible|flammab\w+|fire risk|catch fire|bad for (?:cats|dogs|pets|kids|children|my|the))\b"),
    ("hazard", 2.8, r"\b(?:ok|okay|fine|alright|all right|suitable|allowed|good)\b[^.?!]*\b(?:cats?|dogs?|pets?|kids|children|toddlers?|bab(?:y|ies)|hospitals?|wards?|cakes?|nursery|care home)\b|\b(?:cats?|dogs?|kittens?|pupp(?:y|ies)|toddlers?|child(?:ren)?|kids|bab(?:y|ies))\b[^.?!]*\b(?:eat|eats|ate|eaten|chew\w*|lick\w*|swallow\w*|nibbl\w*|sick|munch\w*|got into|around|near|problem)\b"),
    ("hazard", 2.6, r"\b(?:put|use|have|place|go|decorat\w*|work)\b[^.?!]*\b(?:on|with|near|around) (?:a |an |the |my |our |your )?(?:wedding |birthday )?(?:cakes?|food|plates?|drinks?|candles?|heaters?|radiators?|fireplace|buffet)\b|\b(?:wear|need) gloves\b|\bgloves\b|\bsting\b|\bburn (?:my|your) skin\b|\bhospital|\bin (?:a |the )?(?:icu|ward)\b"),
    ("hazard", 3.2, r"\b(?:swallow\w*|bleed\w*|cut (?:my|his|her|a) (?:thumb|finger|hand)|got (?:it |sap )?in (?:my|his|her) eyes?|never\b[^.?!]*\b(?:cats?|dogs?|child(?:ren)?|kids|pets?)|pesticides?)\b"),
    ("hazard", 1.4, r"\b(?:cats?|dogs?|pets?|kids?|children|toddlers?|hospital|cake)\b|\beat\b"),
    # refresh
    ("refresh", 3.4, r"\brefresh\w*|\b(?:when|how often|what|which|how many)\b[^.?!]*\b(?:replac\w+|chang(?:e|ed|ing)(?! the water| water| if)|swap(?:ped|ping)? out|renew\w*|switch(?:ed)? out|pull(?:ed)?|redo|re-do|freshen\w*|come(?:s)? out)\b"),
    ("refresh", 3.2, r"\bchange (?:them )?when\b|\breplacement (?:stems?|flowers?|visits?|rounds?)\b|\bwhen\b[^.?!]*\b(?:swap|change|replace|renew)\b|\bchange (?:them|it)\b"),
    ("refresh", 2.6, r"\b(?:two|2|three|3|four|4|one|1)?[- ]?(?:week|day|month|fortnight)s?[- ](?:long )?(?:display|install\w*|piece|contract|show|exhibition)\b|\bkeep (?:the|a|it|our|my|this) (?:display|piece|installation|arrangement)?\b[^.?!]*\bgoing\b|\bmaintenance (?:plan|visits?|schedule)\b|\bvisits?\b|\bchange[- ]?outs?\b|\bservice (?:plan|visits?|calls?)\b|\breplacement schedule\b"),
    # compare
    ("compare", 3.4, r"\bcompar\w+|\bversus\b|\bvs\.?\b|\b(?:difference|differences|choose|choosing|pick|decide) between\b|\bwhich (?:one |of (?:these|those|them|the two|the) ?)?\b[^.?!]*\b(?:longer|longest|better|best|more|most|cheaper|tougher|thirst\w+|first|least|fewest|shortest|shorter|soonest|hardier|safer)\b"),
    ("compare", 3.8, r"\b(?:in|by) order of\b|\b(?:these|those|them|the (?:four|three|following)) in order\b(?! to)|\brank(?:ed|ing)?\b"),
    ("compare", 2.6, r"\bv\b|\bagainst\b|\bdiffer\b|\blonger life\b|: longest\b"),
    ("compare", 3.0, r"\b(?:longer|better|tougher|thirstier|hardier|shorter|safer|more|worse) than\b|\bor\b[^.?!]*\b(?:which|longer|better)\b|\bwhat (?:lasts|holds|keeps|drinks) (?:the )?(?:longest|best|most|least)\b|\b(?:longest|best)[- ](?:lasting|lived)\b|\b(?:lasts?|holds?|keeps?) (?:the )?(?:longest|longer|best)\b|\bbest (?:out of water|in foam|for)\b|\brank\b|\bhow (?:do|does) [^.?!]* (?:stack up|compare)\b"),
    # explain
    ("explain", 3.2, r"\bdefine\b|\bdefinition\b|\bmeaning of\b|\bwhat(?:'s| is) meant by\b|^(?:but |and |so |ok |okay |hm+ |um |er )*why\b|\bexplain\b|\bhow come\b|\bwhy (?:do|does|did|is|are|should|would|shouldn't|can't|not|am|don't|won't)\b|\bwhat(?:'s| is) the (?:reason|point|idea|logic|science)\b|\breason (?:for|why|behind)\b|\bhow did you (?:get|work|come|calculate|arrive|figure)\b|\bwhat does [^.?!]* (?:mean|do to)\b|\bhow does [^.?!]* work\b|\bshow (?:me )?(?:the |your )?(?:working|formula|maths?|sums|calculation)s?\b|\bwhat (?:happens|happened) (?:if|when)\b|\bwhat(?:'s| is) (?:the purpose|meant|a q10|q10|ethylene|vase life|bent neck|conditioning|hydration|botrytis|senescence|thermal time)\b"),
    # season
    ("season", 3.4, r"\b(?:in|out of) season\b|\bseason(?:al|ality|s)?\b|\bwhen (?:are|is|can|do|does|will|could)\b[^.?!]*\b(?:available|in|get|start|around|about|come|arrive|on the market|finish|at their best)\b|(?<!how many )\bmonths\W*$|\bwhen\W*$|\bfirst (?:appear|come)\b|\bavailab(?:le|ility)\b|\bwhat months?\b|\bwhich months?\b|\btime of (?:the )?year\b"),
    ("season", 2.6, r"\b(?:can|could|will) (?:i|we|you) (?:get|find|have|buy|order|source)\b[^.?!]*\b(?:in|for|during) (?:early |late |mid[ -]?)?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|spring|summer|autumn|fall|winter)|\ball year\b|\byear[- ]round\b"),
    # describe
    ("describe", 2.4, r"\bwhat(?:'s| is| are|s) (?:a |an |the )?(?!in\b|wrong|the (?:best|right|ratio|dose)|best)|\btell me (?:about|more)\b|\b(?:latin|botanical|scientific|proper|other|another|common) names?\b|\balso (?:called|known)\b|\banother word\b|\bcalled\b|\bknown as\b|\bidentify\b|\bdescribe\b|\bwho(?:'s| is) [a-z ]+ when\b"),
    ("describe", 3.8, r"\bwhat (?:do|does) [^.?!]* look like\b|\bother colou?rs?\b"),
    ("describe", 3.2, r"\bwhat do (?:they|you|we|people) call\b|\bwhich (?:material|flower|plant) is (?:that|it|this)\b|\bis it an? \w+\b(?! idea)|\basks? for '|\bis (?:that|this) (?:a|the)\b"),
    ("describe", 3.0, r"\b(?:what|which) colou?rs?\b|\bcolou?rs? (?:do|does|are|is|can)\b|\bhow (?:tall|big|wide|large|high) (?:is|are|do|does)\b(?! (?:a|the|one|each) (?:bunch|bucket|vase))|\bhow long (?:is|are) (?:the|their|its|[a-z ]+) stems?\b|\b(?:stem length|bloom size|head size|flower size)\b|\b(?:latin|botanical|scientific) names?\b|\bis (?:[a-z' ]+) the same (?:as|thing)\b|\bsame thing\b|\bwhat kind of (?:flower|plant|thing|green|foliage)\b"),
    # cost
    ("cost", 3.2, r"\b(?:cost|costs|price|prices|priced|pricing|charge|mark-?up|margin|expensive|cheap(?:er|est)?|how much (?:is|are|do|does|would|will|for|should i charge)\b(?![^.?!]*\b(?:drink|water|weigh|hold|need|take|use|fill|last|loss|spare))[^.?!]*(?:cost|charge|each|sell|go for|\?|$))\b"),
    ("cost", 3.0, r"\b(?:pay|paying|paid)\b|\bmark(?:ing|ed)?[ -]?up\b"),
    ("cost", 2.6, r"[$£€] ?\d"),
)  # fmt: skip
# What one bunch holds, as against how many bunches to order.
PACK_QUESTION = re.compile(
    r"\b(?:in|to|per|of|from) (?:a|the|one|each|every|1) (?:bunch|wrap|bundle|pack)\b|\bper (?:bunch|wrap|bundle|pack)\b|\bbunch(?:es)? (?:count|size|is|holds?|hold|are) ?(?:how (?:many|big))?|\bpack size\b|\bstems (?:per|in (?:a|the|one)|to (?:a|the)) bunch\b|\bstem count\b|\b(?:a|one|1) bunch\b[^.?!]*\bhow many stems\b|\bbunch of (?:them|these|those) (?:supposed|meant)\b|\ba bunch is how many\b|"
    r"\bwhat size (?:of )?bunch|\bhow (?:many|much) (?:[a-z' -]+ )?(?:to|in|per) (?:the |a |each |one |1 )?bunch\b|\b(?:a|one|1) bunch of [a-z' -]+ (?:come to|contain|hold|count)\b|\bhow big (?:is|are) (?:a|the) bunch|\bwhat(?:'s|s| is) in a bunch|"
    r"\bhow many (?:[a-z' -]+ )?(?:makes?|make up|go(?:es)? (?:to|in|into)|form|come (?:to|in)|are there (?:to|in)) (?:up )?(?:a|the|one|1) bunch\b"
)
SIGNALS = tuple((task, weight, re.compile(pattern)) for task, weight, pattern in _SIGNALS)

# "How many sets over 16 days", "will one swap do": the changes of a display that stands for a time that is said.
_ROUNDS = re.compile(
    r"\bhow many (?:sets|lots|rounds|batches|change-?overs|changes|swaps|replacements)\b(?! of (?:tables|pieces|vases))"
    r"|\b(?:1|one|a single|2|two|3|three|any) (?:swaps?|change-?overs?|changes|replacements?)\b(?! (?:for|of the water))"
)
# A price in the words themselves.
_PRICED = re.compile(
    r"[£$€] ?\d|\d ?(?:quid|pounds?|dollars?|euros?|bucks|pence|cents?|p|c) |\d ?(?:quid|pence|cents?|p)\b|\d\.\d{2}\b|\d (?:each|apiece)\b|"
    r"\b\d+ (?:a|per|the|each|for a) (?:stem|head|bloom|bunch|wrap|box)\b|\ba (?:fiver|tenner)\b"
)
SUPERLATIVE = re.compile(
    r"\b(?P<longest>longest|(?:the )?most (?:days|life|staying power)|best[- ]lasting|hardiest|toughest|(?:lasts?|holds? up|keeps?|stands? up|survives?) (?:the )?best|out(?:lives?|lasts?) (?:everything|all|the (?:rest|others))|most long[- ]lasting|go(?:es)? the distance)\b|"
    r"\b(?P<shortest>shortest|soonest|first to (?:go|die|drop)|(?:die|go|goes|fade|wilt)s? (?:over )?first|least long|use first)\b|"
    r"\b(?P<thirstiest>thirstiest|drinks? (?:the )?most|most water|heaviest drinker)\b|\b(?P<driest>least thirsty|drinks? (?:the )?least|least water)\b|"
    r"\b(?P<cheapest>cheapest)\b|\b(?P<best>best|safest)\b"
)
YES_NO = re.compile(
    r"^(?:(?:so|and|but|hey|hi|hello|ok|okay|um|er|well|quick question|please|just|also|then|now|right|hm+)[ ,:-]+)*"
    r"(?:is|are|will|would|can|could|do|does|did|should|has|have|am|isn't|aren't|won't|can't|don't|doesn't|shouldn't|may|might|was|were|any chance|ok to|safe to)\b"
)


def score_tasks(text: str) -> dict[Task, float]:
    """Scores of the tasks a clause of normalised text speaks for; empty when none does."""
    scores: dict[Task, float] = {}
    for task, weight, pattern in SIGNALS:
        if pattern.search(text):
            best = scores.get(task, 0.0)
            scores[task] = max(best, weight) + (0.3 if best else 0.0)
    return scores


def choose_task(
    text: str, scores: dict[Task, float], slots: Collection[str], mentions: int, all_mentions: int = 0
) -> dict[Task, float]:
    """Settle what the words alone leave open, from which slots are filled. Returns adjusted scores.

    `mentions` counts the materials of this clause, `all_mentions` those of the whole message.
    """
    s = dict(scores)

    def lift(task: Task, by: float) -> None:
        s[task] = s.get(task, 0.0) + by

    sized = {"diameter", "height", "fill_height", "length", "outer", "fill_share", "volume"} & set(slots)
    if sized and {"vessel", "shape"} & set(slots) and "form" not in slots:
        lift("water", 2.0 if "water" in s else 1.6)
    if PACK_QUESTION.search(text) and not {"stems", "count", "price"} & set(slots):
        lift("quantity", 3.0)
    if {"label_dose", "concentration", "strength", "parts"} & set(slots) and "mixing" in s:
        lift("mixing", 2.5)
    if "concentration" in slots and re.search(
        r"\b(?:bleach|chlorine|hypochlorite|bottle|saniti[sz]\w*|disinfect\w*)\b", text
    ):
        s["mixing"] = max(s.get("mixing", 0.0), 6.0)  # so much chlorine is wanted
    if "label_dose" in slots and re.search(r"\bhow (?:much|many)\b|\bwhat\b", text):
        s["mixing"] = max(s.get("mixing", 0.0), 6.0)  # a label's dose is said to be used
    if "price" in slots and _PRICED.search(text):
        s["cost"] = max(s.get("cost", 0.0), 3.0)
    if "price" in slots and re.search(
        r"\bcosts?\b|\bcomes? to\b|\bmark\b|\bcharge\b|\bmoney\b|\btotal\b|\bworth\b|\bmark-?up\b|\bpay\b|\bpaid\b|\bbills?\b|\binvoice\b|\bowe\b|\bspend\w*\b|\bset (?:me|us) back\b|\bcharging\b|\bsell\w*\b|\bdamage\b|\boutlay\b|\b(?:add|tot|reckon) (?:it|that|them|these|those|everything)(?: all)? up\b|"
        r"\b(?:what|how much)\b[^.?!]*\b(?:per|an?|each|one|1) (?:stem|head|bloom|bunch)\b|\b(?:stem|head|bloom|bunch) is (?:what|how much)\b",
        text,
    ):
        lift("cost", 3.0)
    asks_life = re.search(
        r"\blast\b|\bgot\b|\bleft\b|\bremaining\b|\bhave (?:they|it)\b|\bafter(?:wards)?\b|\bvase life\b|\bmake it\b|\bremain|\bthen\b[^.?!]*\bhow long\b",
        text,
    )
    if "storage" in s and "longevity" in s:
        # Time already spent in the cooler is history; "how long can I keep them in the cooler" asks for the limit.
        if "stored_days" in slots and asks_life:
            lift("longevity", 2.0)
        elif (
            not {"stored_days", "display_temperature", "elapsed_days", "since_date"} & set(slots)
            and "after" not in text
        ):
            lift("storage", 2.2)
        elif re.search(r"\b(?:keep|store|hold|stay|sit|leave|live|kept|stored|held)\b", text):
            lift("storage", 1.0)
        elif asks_life and not re.search(r"\b(?:in|inside) (?:the |a |my |our )?(?:\w+ )?(?:cooler|fridge|cold)", text):
            lift("longevity", 1.0)
    if "refresh" in s and "longevity" in s and s["refresh"] >= 3:
        lift("refresh", 0.8)
    if "refresh" in s and {"display_days", "until_date"} & set(slots):
        lift("refresh", 1.2)
    if {"display_days", "until_date"} & set(slots) and _ROUNDS.search(text):
        s["refresh"] = max(s.get("refresh", 0.0), 4.6)
        others: tuple[Task, ...] = ("substitute", "longevity", "quantity")
        for other in others[: 2 if re.search(r"\b(?:stems|bunch\w*)\b", text) else 3]:
            s.pop(other, None)
    if re.search(
        r"\b(?:can|could|would|will|to) (?:replace|stand in|swap)\b|\breplace [a-z' ]+ with\b|\breplacements? (?:for|flowers?|stems?)\b|\balternativ|\bsub(?:s|st)it?ut|\binstead of\b|\bin place of\b|\bsomething (?:else|not|less|non|safer)\b",
        text,
    ) and ("refresh" not in s or not {"display_days", "until_date"} & set(slots)):
        s["substitute"] = max(s.get("substitute", 0.0), 3.4) + 1.5
    if "substitute" in s and s["substitute"] < 3 and mentions and {"stems", "bunches", "pieces"} & set(slots):
        lift("substitute", -2.0)
    if (
        mentions == 0
        and all_mentions == 0
        and {"roles", "colours"} & set(slots)
        and not {"quantity", "care", "explain", "mixing"} & {t for t in s if s[t] >= 2.8}
    ):
        s["substitute"] = max(s.get("substitute", 0.0), 2.4) + (1.6 if "audience" in slots or "month" in slots else 0.0)
    if {"label_dose", "concentration", "strength"} & set(slots) and not mentions:
        s["mixing"] = max(s.get("mixing", 0.0), 3.6)
    if (
        mentions >= 2
        and re.search(r"\bor\b|\bv\b|\bvs\b|\bversus\b|\bagainst\b|\bdiffer", text)
        and not {"stems", "bunches", "pieces"} & set(slots)
    ):
        strong: tuple[Task, ...] = (
            "hazard",
            "care",
            "quantity",
            "storage",
            "season",
            "mixing",
            "substitute",
            "refresh",
        )
        if not any(s.get(t, 0.0) >= 2.8 for t in strong):
            s["compare"] = max(s.get("compare", 0.0), 3.4)
    if "compare" in s and (mentions >= 2 or SUPERLATIVE.search(text)):
        lift("compare", 1.2)
    elif "compare" in s:
        lift("compare", -1.0)
    if "substitute" in s and s["substitute"] < 3 and any(s.get(t, 0) >= 2.4 for t in s if t != "substitute"):
        lift("substitute", -1.2)
    if "hazard" in s and s["hazard"] < 2:
        lift("hazard", 0.2 if "audience" in slots else -0.4)
    if (
        "hazard" in s
        and re.search(r"\b(?:safe|suitable) (?:with|for|around|near|to have)\b", text)
        and s.get("substitute", 0) >= 2.2
    ):
        lift("substitute", 1.6)
    if (
        "mixing" in s
        and mentions
        and "volume" not in slots
        and not re.search(
            r"\bhow (?:much|many)\b|\bmix|\bdilut|\bdos(?:e|age|ing)\b|\bratio\b|\bppm\b|\bmake up\b|\bstrength\b|\bconcentration\b|\bparts?\b|\bper lit",
            text,
        )
    ):
        s["mixing"] -= 2.5  # "in flower food" says how they stand, not that food is to be mixed
    if "mixing" in s and re.search(r"\bhow long\b", text) and s.get("longevity", 0) >= 2.2:
        lift("mixing", -1.5)
    if "mixing" in s and "water" in s and s["mixing"] >= 2.6:
        lift("mixing", 0.8)
    if (
        "water" in s
        and "longevity" in s
        and re.search(r"\b(?:out of|without|in plain|no|in|tap|plain) (?:any |the )?water\b", text)
    ):
        lift("water", -1.5)
    if "water" in s and "quantity" in s and re.search(r"\bwater\b|\btop|\blit(?:re|er)s|\bgallons?|\bdrink", text):
        lift("water", 0.6)
    if "water" in s and re.search(r"\btop(?:ping|ped|s)?[- ]?(?:it )?up\b|\brefill\w*", text):
        lift("water", 1.5)
    if "water" in s and "care" in s and re.search(r"\b(?:hot|warm|cold|lukewarm|boiling|how deep|temperature)\b", text):
        lift("care", 0.8)
    if "explain" in s and re.search(r"\bwhy\b", text):
        lift("explain", 1.0)
    if "cost" in s and "price" in slots:
        lift("cost", 1.0)
    if "describe" in s and len(s) > 1 and s["describe"] < 3:
        lift("describe", -1.0)
    if (
        "season" in s
        and "substitute" in s
        and re.search(
            r"\binstead\b|\bsubstitut|\bswap|\balternativ|\bfiller\b|\bunavailable\b|\bnot available\b|\bisn't available\b",
            text,
        )
    ):
        lift("substitute", 1.0)
    if (
        "care" in s
        and "explain" in s
        and re.search(r"^\W*why (?:are|is|did|have|has) (?:my|the|our|these|those|all)\b", text)
    ):
        lift("care", 2.0)
    return {task: score for task, score in s.items() if score > 0.5}
