"""The words in which practices that can hurt somebody are written down, and the caution each calls for.

Common practice, no source; that breath-holding kills is the joint statement of the American Red Cross and
the YMCA (2015), that paddles, kickboard, resistance and weights aggravate a sore shoulder is McMaster &
Troup 1993. The patterns are of whole words as `practices.folded` gives them: small letters, no accents,
numbers in digits, a bar between clauses.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

PracticeCode = Literal["maximal-effort", "shoulder", "breath", "open-water", "alone"]

_BREATHE = "(?:breath|breaths|breathe|breathes|breathing)"
_SIDES = "(?:to|on|towards) (?:the |your |his |her )?(?:left|right|other|weak|weaker|bad|wrong|same)"
_FIVE_UP = r"(?:[5-9]|\d\d+)"
_LEG_OF_SWIM = r"(?:the |each |every |a |whole )?(?:length|lengths|lap|laps|\d\d+)"
_COLD_C = "(?:[0-9]|1[0-5])"
_WHOSE = "(?:your|the|his|her|my|their|a|our)"


class Rule(NamedTuple):
    """Words that call for a caution; `denied` if "no", "never" or "without" before them takes it back."""

    code: PracticeCode
    words: str
    denied: bool = True


RULES: Final = (
    Rule("breath", f"(?:hold|holds|holding|held) (?:{_WHOSE} )?breath"),
    Rule("breath", "breath (?:hold|holds|holding|held)|breathhold|breathholds|breathholding"),
    Rule(
        "breath",
        r"hypox\w*|apnoea|apnea|hyperventilat\w*|lung ?busters?|blackouts?"
        r"|over ?breath(?:e|ing)|empty lungs?",
    ),
    Rule(
        "breath",
        rf"(?:no|0|zero|not|dont|never|cannot|cant) (?:more |take (?:a )?)?(?:{_BREATHE}|air)"
        rf"(?! (?:{_SIDES}|hold|holds|holding|held|late|later|early|earlier|high|bubbles|too|out))",
        denied=False,
    ),
    Rule(
        "breath",
        rf"without (?:a |any |taking (?:a |any )?)?(?:{_BREATHE}"
        rf"|air)(?! (?:{_SIDES}|hold|holds|holding|late|out))",
        denied=False,
    ),
    Rule(
        "breath",
        rf"{_BREATHE} (?:only )?(?:every|each|1 in) {_FIVE_UP}|every {_FIVE_UP} (?:strokes? )?{_BREATHE}",
    ),
    Rule(
        "breath",
        rf"{_FIVE_UP} strokes? (?:per|a|each|between|to|to a|before|for 1|with 1|then|without) "
        rf"(?:each |every |the |you |a )?{_BREATHE}",
        denied=False,
    ),
    Rule("breath", rf"(?:[1-3]|single) breaths? (?:per|a|an|each|in|for|every|on) {_LEG_OF_SWIM}"),
    Rule(
        "breath", rf"breathe (?:only )?(?:once|twice|[1-3] times?) (?:per|a|an|each|every|in) {_LEG_OF_SWIM}"
    ),
    Rule(
        "breath",
        "(?:restrict|restricted|restricting|limit|limited|limiting|reduce"
        "|reduced|reducing|fewer|fewest|minimal"
        f"|minimum|least|skip|skipping) (?:{_WHOSE} |number of )?(?:breath|breaths|breathing|air)",
    ),
    Rule("breath", r"(?:breath|breathing) (?:control|ladders?|pyramids?|patterns?)"),
    Rule(
        "breath",
        rf"(?:3 )?5 (?:7 )?(?:9 )?{_BREATHE}|{_BREATHE} 3 5(?: 7)?(?: 9)?"
        rf"|{_BREATHE} 5 7(?: 9)?",
    ),
    Rule(
        "breath",
        r"(?:fast|quick|rapid|many|several|[2-9]|\d\d+) (?:fast "
        r"|quick )?deep breaths?|deep breaths? before",
    ),
    Rule("breath", "snorkel cap|(?:snorkel |air |breathing )restrictor|(?:training|elevation) mask"),
    Rule(
        "breath",
        r"underwaters|(?:swim|sit|lie|dive|crawl|sink)\w* (?:\w+ ){0,2}(?:bottom|pool floor)|submerged",
    ),
    Rule(
        "shoulder",
        "(?<!dog )(?<!doggy )(?<!doggie )(?<!puppy )(?<!a )(?:hand|finger|power)? ?paddles?"
        "(?! (?:boards?|boarding|boarders?|out|off|away|lightly))|a (?:hand "
        "|finger )?paddle(?! board| out)",
    ),
    Rule("shoulder", "(?<!rate )(?<!head )(?<!wrist )(?<!watch )(?<!hair )(?<!pace )bands?(?! (?:of|width))"),
    Rule(
        "shoulder",
        "tubing|(?:stretch|surgical|elastic) ?cords?|bungees?|tether|tethers|tethered|parachutes?|sponges?"
        "|drag (?:suits?|shorts|socks|chutes?)|resisted"
        "|(?<!least )(?<!less )(?<!water )(?<!the )(?<!reduce )(?<!of )resistance(?! of)",
    ),
    Rule(
        "shoulder", r"pull ?buoys?|buoy pull\w*|pull(?:s|ing)? (?:\w+ ){0,2}with (?:a |the )?(?:pull )?buoy"
    ),
    Rule("shoulder", r"(?<=\| )buoy(?= \|)"),
    Rule(
        "shoulder",
        r"pull(?:ing)? (?:sets?|only|blocks?|ladders?|pyramids?|hard|harder)"
        r"|(?:hard|heavy|power|all) pull(?:s|ing)?"
        r"|\d\d+ (?:m |yd |x )?pull(?:ing)?(?! (?:back|path|through|straight"
        r"|phase))|pull(?:ing)? (?:\d+ x )?\d\d+"
        "(?! (?:percent|deg|degrees|cm))",
    ),
    Rule(
        "shoulder",
        r"single arm|single armed|(?:left|right) arm only|only (?:the )?(?:left|right) arm|1 armed"
        r"|1 arm (?:swim\w*|drills?|free\w*|fly|butterfly|crawl|back\w*|breast\w*|only|pull\w*|\d+)"
        r"|\d+ (?:m )?(?:x )?1 arm|(?<=\| )1 arm(?= \|)",
    ),
    Rule("shoulder", r"kick ?boards?|with (?:a |the )?board|board kick\w*"),
    Rule(
        "shoulder",
        "pull ?ups?|chin ?ups?|push ?ups?|press ?ups?|(?:bench|overhead|shoulder) press|weights|dumbbells?"
        "|barbells?|kettlebells?|(?:med|medicine) balls?",
    ),
    Rule(
        "shoulder",
        "(?:sore|painful|aching|bad|hurt|injured|stiff|clicking) (?:left |right )?shoulders?"
        r"|shoulders? (?:is |are |feels? |still |a bit |a little )*(?:pain"
        r"|pains|painful|hurts?|hurting|sore|soreness"
        r"|aches?|aching|injur\w*|impingement|twinges?|surgery|clicks?|niggles?"
        r"|rehab\w*|trouble|strain|strained)"
        rf"|pain in {_WHOSE} (?:left |right )?shoulders?|rotator cuff|supraspinatus|swimmers shoulder",
    ),
    Rule("maximal-effort", "all out(?! of)|flat out|sprint|sprints|sprinting|time ?trials?|eyeballs out"),
    Rule(
        "maximal-effort",
        "(?:max|maximal|maximum|maximally) (?:efforts?|sprints?|tests?|swims?"
        "|swimming|speed|pace|intensity|power|sets?"
        r"|heart rate|hr)|(?:at|to|near) max(?:imum)?(?= \|)|\d+ (?:m |yd )?max(?:imal)?(?= \|)|vo ?2 ?max",
    ),
    Rule(
        "maximal-effort",
        "(?:full|top|best) (?:gas|speed|throttle|effort|efforts|power)|(?:to"
        "|until|till) (?:exhaustion|failure|exhausted)"
        "|everything (?:you|they|he|she|i)(?: ?have| ?ve|s)? got",
    ),
    Rule(
        "maximal-effort",
        "(?:as )?(?:fast|hard|far) as (?:you|he|she|i|they|we|ever)? ?(?:can"
        "|could|possible)(?! (?:be )?held)"
        "|(?:100|110) percent(?! (?:relaxed|sure|comfortable|of|easy))"
        "|rpe (?:of )?10|effort (?:of )?10|10 out of 10"
        "|lactate (?:tests?|sets?|tolerance)|race simulations?",
    ),
    Rule(
        "open-water",
        "open ?waters?|ow|seas?(?! level)|lakes?|rivers?|oceans?|reservoirs?"
        "|loch|lough|fjords?|quarry|harbour|harbor"
        r"|beach|estuary|ponds?|canal|lido|surf|tides?|tidal|swell"
        r"|rip currents?|wild swim\w*|(?:in|across) the bay",
    ),
    Rule(
        "open-water",
        r"(?:cold|icy|freezing|winter|ice|unheated|outdoor) (?:\w+ )?(?:water"
        r"|waters|dips?|plunges?|swims?|swimming|pools?"
        "|baths?|mile)|water (?:is |was |very |too |so )*(?:cold|icy|freezing)|unheated",
    ),
    Rule(
        "open-water",
        f"{_COLD_C} (?:deg |degrees? )?(?:c|celsius)"
        rf"|water (?:at |is |was |of |only |about )*{_COLD_C}(?: deg| degrees?|(?= \|))"
        f"|{_COLD_C} (?:deg|degrees?) water|[3-5][0-9] (?:deg |degrees? )?(?:f|fahrenheit)",
    ),
    Rule(
        "alone",
        "(?<!arm )(?<!arms )(?<!leg )(?<!legs )(?<!kick )(?<!pull )(?<!let )(?<!leave )(?<!it )(?<!them )"
        "(?<!hands )"
        "(?<!head )(?<!stand )alone|solo|unsupervised|unattended|unwatched",
    ),
    Rule(
        "alone",
        "by (?:your|him|her|my)self|by (?:them|our|your)selves|on (?:your|his|her|my|their|our) own"
        "(?! (?:pace|time|terms|feet|rhythm|breath|side|back|front))",
    ),
    Rule(
        "alone",
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
