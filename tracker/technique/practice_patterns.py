"""Patterns of practices that can hurt somebody, and the caution each calls for.

Common practice, no source; that breath-holding kills is the joint statement of the American Red Cross and
the YMCA (2015), that paddles, kickboard, resistance and weights aggravate a sore shoulder is McMaster &
Troup 1993. The patterns are of whole words as `practices.folded` gives them: small letters, no accents,
numbers in digits, a bar between clauses.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final, NamedTuple


class Caution(StrEnum):
    """What is cautioned against or advised, the gravest first."""

    SEE_A_PROFESSIONAL = "see-a-professional"
    AFTER_ILLNESS = "after-illness"
    MAXIMAL_TEST = "maximal-test"
    MAXIMAL_EFFORT = "maximal-effort"
    ALONE = "alone"
    BREATH = "breath"
    SHOULDER = "shoulder"
    PADDLES = "paddles"
    NECK = "neck"
    OPEN_WATER = "open-water"


_BREATHE = "(?:breath|breaths|breathe|breathes|breathing)"
_SIDES = "(?:to|on|towards) (?:the |your |his |her )?(?:left|right|other|weak|weaker|bad|wrong|same)"
_FIVE_UP = r"(?:[5-9]|\d\d+)"
_LEG_OF_SWIM = r"(?:the |each |every |a |whole )?(?:length|lengths|lap|laps|\d\d+)"
_COLD_C = "(?:[0-9]|1[0-5])"
_WHOSE = "(?:your|the|his|her|my|their|a|our)"


class Rule(NamedTuple):
    """Words that call for a caution; `denied` if "no", "never" or "without" before them takes it back."""

    code: Caution
    words: str
    denied: bool = True


RULES: Final = (
    Rule(Caution.BREATH, f"(?:hold|holds|holding|held) (?:{_WHOSE} )?breath"),
    Rule(Caution.BREATH, "breath (?:hold|holds|holding|held)|breathhold|breathholds|breathholding"),
    Rule(
        Caution.BREATH,
        r"hypox\w*|apnoea|apnea|hyperventilat\w*|lung ?busters?|blackouts?"
        r"|over ?breath(?:e|ing)|empty lungs?",
    ),
    Rule(
        Caution.BREATH,
        rf"(?:no|0|zero|not|dont|never|cannot|cant) (?:more |take (?:a )?)?(?:{_BREATHE}|air)"
        rf"(?! (?:{_SIDES}|hold|holds|holding|held|late|later|early|earlier|high|bubbles|too|out))",
        denied=False,
    ),
    Rule(
        Caution.BREATH,
        rf"without (?:a |any |taking (?:a |any )?)?(?:{_BREATHE}"
        rf"|air)(?! (?:{_SIDES}|hold|holds|holding|late|out))",
        denied=False,
    ),
    Rule(
        Caution.BREATH,
        rf"{_BREATHE} (?:only )?(?:every|each|1 in) {_FIVE_UP}|every {_FIVE_UP} (?:strokes? )?{_BREATHE}",
    ),
    Rule(
        Caution.BREATH,
        rf"{_FIVE_UP} strokes? (?:per|a|each|between|to|to a|before|for 1|with 1|then|without) "
        rf"(?:each |every |the |you |a )?{_BREATHE}",
        denied=False,
    ),
    Rule(Caution.BREATH, rf"(?:[1-3]|single) breaths? (?:per|a|an|each|in|for|every|on) {_LEG_OF_SWIM}"),
    Rule(
        Caution.BREATH,
        rf"breathe (?:only )?(?:once|twice|[1-3] times?) (?:per|a|an|each|every|in) {_LEG_OF_SWIM}",
    ),
    Rule(
        Caution.BREATH,
        "(?:restrict|restricted|restricting|limit|limited|limiting|reduce"
        "|reduced|reducing|fewer|fewest|minimal"
        f"|minimum|least|skip|skipping) (?:{_WHOSE} |number of )?(?:breath|breaths|breathing|air)",
    ),
    Rule(Caution.BREATH, r"(?:breath|breathing) (?:control|ladders?|pyramids?|patterns?)"),
    Rule(
        Caution.BREATH,
        rf"(?:3 )?5 (?:7 )?(?:9 )?{_BREATHE}|{_BREATHE} 3 5(?: 7)?(?: 9)?"
        rf"|{_BREATHE} 5 7(?: 9)?",
    ),
    Rule(
        Caution.BREATH,
        r"(?:fast|quick|rapid|many|several|[2-9]|\d\d+) (?:fast "
        r"|quick )?deep breaths?|deep breaths? before",
    ),
    Rule(Caution.BREATH, "snorkel cap|(?:snorkel |air |breathing )restrictor|(?:training|elevation) mask"),
    Rule(
        Caution.BREATH,
        r"underwaters|(?:swim|sit|lie|dive|crawl|sink)\w* (?:\w+ ){0,2}(?:bottom|pool floor)|submerged",
    ),
    Rule(
        Caution.SHOULDER,
        "(?<!dog )(?<!doggy )(?<!doggie )(?<!puppy )(?<!a )(?:hand|finger|power)? ?paddles?"
        "(?! (?:boards?|boarding|boarders?|out|off|away|lightly))|a (?:hand "
        "|finger )?paddle(?! board| out)",
    ),
    Rule(
        Caution.SHOULDER,
        "(?<!rate )(?<!head )(?<!wrist )(?<!watch )(?<!hair )(?<!pace )bands?(?! (?:of|width))",
    ),
    Rule(
        Caution.SHOULDER,
        "tubing|(?:stretch|surgical|elastic) ?cords?|bungees?|tether|tethers|tethered|parachutes?|sponges?"
        "|drag (?:suits?|shorts|socks|chutes?)|resisted"
        "|(?<!least )(?<!less )(?<!water )(?<!the )(?<!reduce )(?<!of )resistance(?! of)",
    ),
    Rule(
        Caution.SHOULDER,
        r"pull ?buoys?|buoy pull\w*|pull(?:s|ing)? (?:\w+ ){0,2}with (?:a |the )?(?:pull )?buoy",
    ),
    Rule(Caution.SHOULDER, r"(?<=\| )buoy(?= \|)"),
    Rule(
        Caution.SHOULDER,
        r"pull(?:ing)? (?:sets?|only|blocks?|ladders?|pyramids?|hard|harder)"
        r"|(?:hard|heavy|power|all) pull(?:s|ing)?"
        r"|\d\d+ (?:m |yd |x )?pull(?:ing)?(?! (?:back|path|through|straight"
        r"|phase))|pull(?:ing)? (?:\d+ x )?\d\d+"
        "(?! (?:percent|deg|degrees|cm))",
    ),
    Rule(
        Caution.SHOULDER,
        r"single arm|single armed|(?:left|right) arm only|only (?:the )?(?:left|right) arm|1 armed"
        r"|1 arm (?:swim\w*|drills?|free\w*|fly|butterfly|crawl|back\w*|breast\w*|only|pull\w*|\d+)"
        r"|\d+ (?:m )?(?:x )?1 arm|(?<=\| )1 arm(?= \|)",
    ),
    Rule(Caution.SHOULDER, r"kick ?boards?|with (?:a |the )?board|board kick\w*"),
    Rule(
        Caution.SHOULDER,
        "pull ?ups?|chin ?ups?|push ?ups?|press ?ups?|(?:bench|overhead|shoulder) press|weights|dumbbells?"
        "|barbells?|kettlebells?|(?:med|medicine) balls?",
    ),
    Rule(
        Caution.SHOULDER,
        "(?:sore|painful|aching|bad|hurt|injured|stiff|clicking) (?:left |right )?shoulders?"
        r"|shoulders? (?:is |are |feels? |still |a bit |a little )*(?:pain"
        r"|pains|painful|hurts?|hurting|sore|soreness"
        r"|aches?|aching|injur\w*|impingement|twinges?|surgery|clicks?|niggles?"
        r"|rehab\w*|trouble|strain|strained)"
        rf"|pain in {_WHOSE} (?:left |right )?shoulders?|rotator cuff|supraspinatus|swimmers shoulder",
    ),
    Rule(
        Caution.MAXIMAL_EFFORT, "all out(?! of)|flat out|sprint|sprints|sprinting|time ?trials?|eyeballs out"
    ),
    Rule(
        Caution.MAXIMAL_EFFORT,
        "(?:max|maximal|maximum|maximally) (?:efforts?|sprints?|tests?|swims?"
        "|swimming|speed|pace|intensity|power|sets?"
        r"|heart rate|hr)|(?:at|to|near) max(?:imum)?(?= \|)|\d+ (?:m |yd )?max(?:imal)?(?= \|)|vo ?2 ?max",
    ),
    Rule(
        Caution.MAXIMAL_EFFORT,
        "(?:full|top|best) (?:gas|speed|throttle|effort|efforts|power)|(?:to"
        "|until|till) (?:exhaustion|failure|exhausted)"
        "|everything (?:you|they|he|she|i)(?: ?have| ?ve|s)? got",
    ),
    Rule(
        Caution.MAXIMAL_EFFORT,
        "(?:as )?(?:fast|hard|far) as (?:you|he|she|i|they|we|ever)? ?(?:can"
        "|could|possible)(?! (?:be )?held)"
        "|(?:100|110) percent(?! (?:relaxed|sure|comfortable|of|easy))"
        "|rpe (?:of )?10|effort (?:of )?10|10 out of 10"
        "|lactate (?:tests?|sets?|tolerance)|race simulations?",
    ),
    Rule(
        Caution.OPEN_WATER,
        "open ?waters?|ow|seas?(?! level)|lakes?|rivers?|oceans?|reservoirs?"
        "|loch|lough|fjords?|quarry|harbour|harbor"
        r"|beach|estuary|ponds?|canal|lido|surf|tides?|tidal|swell"
        r"|rip currents?|wild swim\w*|(?:in|across) the bay",
    ),
    Rule(
        Caution.OPEN_WATER,
        r"(?:cold|icy|freezing|winter|ice|unheated|outdoor) (?:\w+ )?(?:water"
        r"|waters|dips?|plunges?|swims?|swimming|pools?"
        "|baths?|mile)|water (?:is |was |very |too |so )*(?:cold|icy|freezing)|unheated",
    ),
    Rule(
        Caution.OPEN_WATER,
        f"{_COLD_C} (?:deg |degrees? )?(?:c|celsius)"
        rf"|water (?:at |is |was |of |only |about )*{_COLD_C}(?: deg| degrees?|(?= \|))"
        f"|{_COLD_C} (?:deg|degrees?) water|[3-5][0-9] (?:deg |degrees? )?(?:f|fahrenheit)",
    ),
    Rule(
        Caution.ALONE,
        "(?<!arm )(?<!arms )(?<!leg )(?<!legs )(?<!kick )(?<!pull )(?<!let )(?<!leave )(?<!it )(?<!them )"
        "(?<!hands )"
        "(?<!head )(?<!stand )alone|solo|unsupervised|unattended|unwatched",
    ),
    Rule(
        Caution.ALONE,
        "by (?:your|him|her|my)self|by (?:them|our|your)selves|on (?:your|his|her|my|their|our) own"
        "(?! (?:pace|time|terms|feet|rhythm|breath|side|back|front))",
    ),
    Rule(
        Caution.ALONE,
        "(?:no|without|without a|without any) (?:life ?guards?|guard|spotter"
        "|observer|supervision|cover|safety cover"
        "|lookout|kayak)|(?:nobody|no 1|noone) (?:else )?(?:is "
        "|was )?(?:watching|around|there|looking|with)",
        denied=False,
    ),
)

SHOULDER: Final = frozenset(
    {
        "shoulder",
        "shoulders",
        "rotator",
        "cuff",
        "supraspinatus",
        "impingement",
        "labrum",
        "deltoid",
        "clavicle",
        "collarbone",
    }
)
LEG: Final = frozenset(
    {
        "ankle",
        "ankles",
        "foot",
        "feet",
        "toe",
        "toes",
        "heel",
        "achilles",
        "shin",
        "shins",
        "calf",
        "calves",
        "knee",
        "knees",
        "leg",
        "legs",
        "thigh",
        "hamstring",
        "hamstrings",
        "quad",
        "groin",
        "hip",
        "hips",
        "meniscus",
    }
)
NEITHER: Final = frozenset(
    {
        "arm",
        "arms",
        "elbow",
        "wrist",
        "hand",
        "hands",
        "finger",
        "fingers",
        "thumb",
        "neck",
        "back",
        "rib",
        "ribs",
        "chest",
        "head",
        "concussion",
    }
)
