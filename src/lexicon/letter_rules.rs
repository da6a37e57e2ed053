//! The rules of [`super::letters`], by first letter.

/// Left context, letters, right context, sounds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule(
    pub(super) &'static str,
    pub(super) &'static str,
    pub(super) &'static str,
    pub(super) &'static str,
);

/// The rules; of those for one first letter, the first that fits wins.
#[rustfmt::skip]
pub(super) const RULES: &[Rule] = &[
    // a
    Rule("_", "a", "_", "AH"), Rule("_", "are", "_", "AA"), Rule("_", "a", "bout", "AH"),
    Rule("_:", "air", "", "EH AH"), Rule("", "air", "", "EH AH"), Rule("", "aigh", "", "EY"),
    Rule("", "ai", "n_", "EY"), Rule("", "ai", "", "EY"), Rule("", "ay", "", "EY"),
    Rule("", "augh", "t", "AO"), Rule("l", "augh", "", "AA F"), Rule("dr", "augh", "", "AA F"),
    Rule("", "au", "", "AO"), Rule("", "aw", "", "AO"), Rule("", "ae", "", "IY"),
    Rule("w", "ar", "^", "AO"), Rule("w", "ar", "_", "AO"), Rule("w", "ar", "#", "EH AH R"),
    Rule("qu", "ar", "^", "AO"), Rule("#:", "are", "_", "EH AH"), Rule("", "are", "_", "EH AH"),
    Rule("", "are", "s_", "EH AH"), Rule("", "are", "d_", "EH AH"), Rule("#:", "ar", "_", "AH"),
    Rule("#:", "ar", "s_", "AH"), Rule("#:", "ard", "_", "AH D"), Rule("#:", "ary", "_", "AH R IY"),
    Rule("", "arr", "#", "AE R"), Rule("", "ar", "#", "EH AH R"), Rule("", "ar", "", "AA"),
    Rule("", "alk", "", "AO K"), Rule("", "alm", "", "AA M"), Rule("", "alf", "", "AA F"),
    Rule("", "all", "_", "AO L"), Rule("", "all", "s_", "AO L"), Rule("", "all", "^", "AO L"),
    Rule("", "al", "t", "AO L"), Rule("", "al", "d", "AO L"), Rule("#:", "al", "_", "AH L"),
    Rule("#:", "als", "_", "AH L Z"), Rule("#:", "ally", "_", "AH L IY"), Rule("w", "a", "ll", "AO"),
    Rule("w", "a", "ter", "AO"), Rule("w", "a", "^", "OH"), Rule("wh", "a", "^", "OH"),
    Rule("qu", "a", "^", "OH"), Rule("squ", "a", "^", "OH"), Rule("#:", "age", "_", "IH JH"),
    Rule("#:", "age", "s_", "IH JH"), Rule("#:", "able", "_", "AH B AH L"), Rule("", "able", "_", "EY B AH L"),
    Rule("#:", "ant", "_", "AH N T"), Rule("#:", "ance", "_", "AH N S"), Rule("#:", "an", "_", "AH N"),
    Rule("#:", "ate", "_", "EY T"), Rule("", "ation", "", "EY SH AH N"), Rule("", "a", "tion", "EY"),
    Rule("", "a", "ture", "EY"), Rule("", "a", "nge", "EY"), Rule("", "a", "ste", "EY"),
    Rule("", "a", "ble", "EY"), Rule("", "a", "^le_", "EY"), Rule("", "a", "cia", "EY"),
    Rule("_gl", "a", "ss", "AA"), Rule("_gr", "a", "ss", "AA"), Rule("_br", "a", "ss", "AA"),
    Rule("pl", "a", "ster", "AA"), Rule("_b", "a", "th", "AA"), Rule("_p", "a", "th", "AA"),
    Rule("_sh", "a", "ft", "AA"), Rule("_r", "a", "ft", "AA"), Rule("_f", "a", "st", "AA"),
    Rule("_c", "a", "st", "AA"), Rule("", "a", "^%", "EY"), Rule("", "a", "^i#", "EY"),
    Rule("", "a", "_", "AH"), Rule("_", "a", "^^#", "AE"), Rule("", "a", "", "AE"),
    // b
    Rule("m", "b", "_", ""), Rule("m", "b", "s_", ""), Rule("", "b", "t_", ""), Rule("", "bb", "", "B"),
    Rule("", "b", "", "B"),
    // c
    Rule("", "chn", "", "K N"), Rule("", "chr", "", "K R"), Rule("s", "ch", "e", "K"),
    Rule("", "chit", "", "K IH T"), Rule("t", "ch", "", "CH"), Rule("", "ch", "", "CH"),
    Rule("s", "ci", "#", "SH"), Rule("", "ci", "a", "SH"), Rule("", "ci", "o", "SH"),
    Rule("", "ci", "en", "SH"), Rule("s", "c", "+", ""), Rule("", "cc", "+", "K S"),
    Rule("", "ck", "", "K"), Rule("", "c", "+", "S"), Rule("", "cq", "", "K"), Rule("", "c", "", "K"),
    // d
    Rule("", "dg", "+", "JH"), Rule("", "dd", "", "D"), Rule("", "d", "", "D"),
    // e
    Rule("#:", "e", "_", ""), Rule("_:", "e", "_", "IY"), Rule("#:", "ely", "_", "L IY"),
    Rule("#:", "ement", "_", "M AH N T"), Rule("#:", "eness", "_", "N AH S"), Rule("#:", "eful", "_", "F AH L"),
    Rule("#:", "eboard", "", "B AO D"), Rule("#:", "epipe", "", "P AY P"),
    Rule("#:t", "ed", "_", "IH D"), Rule("#:d", "ed", "_", "IH D"), Rule("#:^", "e", "d_", ""),
    Rule("#", "e", "d_", ""), Rule("#:&", "e", "s_", "IH"), Rule("#:ch", "e", "s_", "IH"),
    Rule("#:sh", "e", "s_", "IH"), Rule("#:^", "e", "s_", ""), Rule("", "eau", "", "OW"),
    Rule("", "eer", "", "IH AH"), Rule("", "ee", "", "IY"), Rule("", "eigh", "", "EY"),
    Rule("", "ear", "_", "IH AH"), Rule("", "ear", "s_", "IH AH"), Rule("", "ear", "ing", "IH AH R"),
    Rule("", "ear", "^", "ER"), Rule("", "ear", "#", "IH AH R"), Rule("", "ead", "", "EH D"), Rule("br", "ea", "k", "EY"),
    Rule("", "ea", "ther", "EH"), Rule("", "ea", "lth", "EH"), Rule("", "ea", "su", "EH"), Rule("", "ea", "", "IY"),
    Rule("c", "ei", "", "IY"), Rule("", "ei", "", "EY"), Rule("", "eur", "", "ER"), Rule("l", "eu", "", "UW"),
    Rule("", "eu", "", "Y UW"), Rule("", "ewe", "", "Y UW AH"), Rule("r", "ew", "", "UW"), Rule("l", "ew", "", "UW"),
    Rule("cr", "ew", "", "UW"), Rule("ch", "ew", "", "UW"), Rule("", "ew", "", "Y UW"), Rule("#:", "ey", "_", "IY"),
    Rule("", "ey", "", "EY"), Rule("", "ere", "_", "IH AH"), Rule("#:", "er", "_", "AH"), Rule("", "err", "#", "EH R"),
    Rule("#:", "ers", "_", "AH Z"), Rule("#:", "ered", "_", "AH D"), Rule("#:", "er", "^", "AH"),
    Rule("#:", "er", "ing", "AH R"), Rule("#:", "ery", "_", "AH R IY"), Rule("", "er", "#", "EH R"), Rule("", "er", "", "ER"),
    Rule("#:", "el", "_", "AH L"), Rule("#:", "els", "_", "AH L Z"), Rule("#:", "en", "_", "AH N"),
    Rule("#:", "ens", "_", "AH N Z"), Rule("#:", "ened", "_", "AH N D"), Rule("#:", "ent", "_", "AH N T"),
    Rule("#:", "ents", "_", "AH N T S"), Rule("#:", "ence", "_", "AH N S"), Rule("#:", "ess", "_", "AH S"),
    Rule("#:", "et", "_", "IH T"), Rule("#:", "ets", "_", "IH T S"),
    Rule("_d", "e", "^#", "IH"), Rule("_r", "e", "^#", "IY"), Rule("_pr", "e", "^#", "IY"), Rule("_b", "e", "^#", "IH"),
    Rule("_", "ex", "#", "IH G Z"), Rule("_", "ex", "", "IH K S"), Rule("", "e", "^e_", "IY"), Rule("_:", "e", "^#", "EH"),
    Rule("", "e", "", "EH"),
    // f
    Rule("", "ff", "", "F"), Rule("", "fully", "_", "F AH L IY"), Rule("#:", "ful", "_", "F AH L"), Rule("", "f", "", "F"),
    // g
    Rule("", "gger", "", "G AH"), Rule("", "gging", "", "G IH NG"), Rule("", "gg", "", "G"), Rule("_", "gn", "", "N"),
    Rule("", "gn", "_", "N"), Rule("", "gned", "_", "N D"), Rule("_", "gh", "", "G"), Rule("", "ght", "", "T"), Rule("", "gh", "", ""),
    Rule("_", "g", "irder", "G"), Rule("_", "g", "ive", "G"), Rule("_", "g", "et", "G"), Rule("", "gu", "ar", "G"), Rule("", "gu", "+", "G"),
    Rule("", "gue", "_", "G"), Rule("n", "g", "_", ""), Rule("n", "g", "s_", ""), Rule("", "ge", "o", "JH"), Rule("", "g", "+", "JH"), Rule("", "g", "", "G"),
    // h
    Rule("_", "hou", "r", "AW"), Rule("", "h", "_", ""), Rule("#", "h", "^", ""), Rule("", "h", "#", "HH"), Rule("", "h", "", ""),
    // i
    Rule("_", "i", "_", "AY"), Rule("", "igh", "", "AY"), Rule("", "ign", "_", "AY N"), Rule("", "ign", "s_", "AY N"), Rule("", "ild", "_", "AY L D"), Rule("", "ind", "_", "AY N D"),
    Rule("", "ire", "_", "AY AH"), Rule("", "ire", "d_", "AY AH"), Rule("", "ire", "s_", "AY AH"), Rule("", "iring", "_", "AY AH R IH NG"),
    Rule("#:", "ity", "_", "IH T IY"), Rule("#:", "ive", "_", "IH V"), Rule("#:", "ism", "", "IH Z AH M"), Rule("#:", "ise", "", "AY Z"),
    Rule("#:", "ier", "_", "IY AH"), Rule("_:", "ier", "", "IH AH"), Rule("#:", "ie", "s_", "IY"), Rule("#:", "ie", "d_", "IY"), Rule("_:", "ie", "s_", "AY"),
    Rule("_:", "ie", "d_", "AY"), Rule("_:", "ie", "_", "AY"), Rule("", "ie", "ld", "IY"), Rule("", "ie", "f", "IY"), Rule("", "ie", "c", "IY"), Rule("", "ie", "", "IY"),
    Rule("#:", "ion", "", "Y AH N"), Rule("#:", "ia", "", "IY AH"), Rule("#:", "io", "", "IY OW"), Rule("#:", "ious", "_", "IY AH S"), Rule("#:", "ium", "_", "IY AH M"),
    Rule("", "irr", "#", "IH R"), Rule("", "ir", "#", "AY AH R"), Rule("", "ir", "", "ER"), Rule("#:", "i", "ng_", "IH"), Rule("#:", "i", "c", "IH"),
    Rule("", "i", "^le_", "AY"), Rule("", "i", "^%", "AY"), Rule("", "i", "^er", "AY"), Rule("_:", "i", "#", "AY"), Rule("#:", "i", "_", "IY"), Rule("", "i", "", "IH"),
    // j k l
    Rule("", "j", "", "JH"), Rule("_", "kn", "", "N"), Rule("", "k", "", "K"),
    Rule("^", "le", "_", "AH L"), Rule("^", "les", "_", "AH L Z"), Rule("^", "led", "_", "AH L D"), Rule("", "ll", "", "L"), Rule("", "l", "", "L"),
    // m n
    Rule("", "mm", "", "M"), Rule("", "mn", "_", "M"), Rule("", "m", "", "M"),
    Rule("e", "ng", "th", "NG K"), Rule("", "ng", "le_", "NG G"), Rule("", "ng", "+", "N JH"), Rule("", "ngg", "", "NG G"), Rule("", "ng", "_", "NG"), Rule("", "ng", "s_", "NG"),
    Rule("", "ng", "ed", "NG"), Rule("", "ng", "#", "NG G"), Rule("", "ng", "", "NG"), Rule("", "n", "k", "NG"), Rule("", "n", "qu", "NG"), Rule("", "nn", "", "N"), Rule("", "n", "", "N"),
    // o
    Rule("_", "of", "_", "OH V"), Rule("", "oar", "", "AO"), Rule("", "oa", "", "OW"), Rule("_:", "oe", "_", "OW"), Rule("", "oe", "s_", "OW"), Rule("", "oi", "", "OY"), Rule("", "oy", "", "OY"),
    Rule("", "oor", "", "AO"), Rule("", "oo", "k", "UH"), Rule("w", "oo", "d", "UH"), Rule("st", "oo", "d", "UH"), Rule("g", "oo", "d", "UH"), Rule("", "oo", "", "UW"),
    Rule("", "ought", "", "AO T"), Rule("r", "ough", "", "AH F"), Rule("t", "ough", "", "AH F"), Rule("", "ough", "", "OW"), Rule("", "ould", "_", "UH D"),
    Rule("#:", "our", "_", "AH"), Rule("#:", "ours", "_", "AH Z"), Rule("", "oured", "_", "AH D"), Rule("", "our", "", "AO"), Rule("#:", "ous", "_", "AH S"), Rule("d", "ou", "ble", "AH"), Rule("tr", "ou", "ble", "AH"),
    Rule("", "ou", "nd", "AW"), Rule("gr", "ou", "p", "UW"), Rule("", "ou", "", "AW"), Rule("", "ower", "_", "AW AH"), Rule("", "owel", "", "AW AH L"), Rule("#:", "ow", "_", "OW"), Rule("#:", "ow", "s_", "OW"),
    Rule("_bl", "ow", "", "OW"), Rule("_l", "ow", "", "OW"), Rule("_gr", "ow", "", "OW"), Rule("_sh", "ow", "_", "OW"), Rule("_fl", "ow", "_", "OW"), Rule("", "own", "_", "AW N"), Rule("", "ow", "", "AW"),
    Rule("w", "or", "", "ER"), Rule("", "ore", "", "AO"), Rule("", "orr", "", "OH R"), Rule("#:", "or", "_", "AH"), Rule("#:", "ors", "_", "AH Z"), Rule("", "or", "ing", "AO R"), Rule("", "or", "#", "OH R"), Rule("", "or", "", "AO"),
    Rule("", "old", "", "OW L D"), Rule("", "olt", "", "OW L T"), Rule("", "oll", "_", "OW L"), Rule("", "olk", "", "OW K"), Rule("", "ost", "_", "OW S T"), Rule("c", "o", "ver", "AH"), Rule("sh", "o", "ve", "AH"), Rule("", "o", "ther", "AH"),
    Rule("#:", "on", "_", "AH N"), Rule("#:", "ons", "_", "AH N Z"), Rule("#:", "om", "_", "AH M"), Rule("", "ong", "", "OH NG"), Rule("#:", "ot", "_", "AH T"),
    Rule("", "o", "^%", "OW"), Rule("", "o", "^le_", "OW"), Rule("", "o", "_", "OW"), Rule("", "o", "s_", "OW"), Rule("", "o", "^i#", "OW"), Rule("_:", "o", "a", "OW"), Rule("", "o", "", "OH"),
    // p q r
    Rule("", "ph", "", "F"), Rule("_", "pn", "", "N"), Rule("_", "ps", "", "S"), Rule("", "pp", "", "P"), Rule("", "p", "", "P"),
    Rule("", "que", "_", "K"), Rule("", "qu", "", "K W"), Rule("", "q", "", "K"),
    Rule("", "rr", "#", "R"), Rule("", "rh", "", "R"), Rule("", "r", "#", "R"), Rule("_", "r", "", "R"), Rule("", "r", "", ""),
    // s
    Rule("", "sh", "", "SH"), Rule("", "ssion", "", "SH AH N"), Rule("#", "sion", "", "ZH AH N"), Rule("", "sion", "", "SH AH N"), Rule("#", "sure", "", "ZH AH"), Rule("", "ssure", "", "SH AH"),
    Rule("_", "sch", "", "S K"), Rule("", "ss", "", "S"), Rule("", "stle", "_", "S AH L"), Rule("", "sten", "_", "S AH N"), Rule("#", "sed", "_", "Z D"), Rule("#", "s", "e_", "Z"), Rule("#", "s", "ing", "Z"),
    Rule("#:pe", "s", "_", "S"), Rule("#:te", "s", "_", "S"), Rule("#:ke", "s", "_", "S"), Rule("#:fe", "s", "_", "S"),
    Rule("#:e", "s", "_", "Z"), Rule("u", "s", "_", "S"), Rule("i", "s", "_", "S"), Rule(".", "s", "_", "Z"), Rule("ng", "s", "_", "Z"), Rule("#", "s", "_", "Z"), Rule("", "s", "", "S"),
    // t
    Rule("", "tion", "", "SH AH N"), Rule("", "tia", "", "SH AH"), Rule("", "ture", "", "CH AH"), Rule("", "tured", "", "CH AH D"), Rule("", "turing", "", "CH AH R IH NG"),
    Rule("", "tch", "", "CH"), Rule("_", "the", "_", "DH AH"), Rule("_", "this", "_", "DH IH S"), Rule("_", "that", "_", "DH AE T"), Rule("_", "th", "e", "DH"), Rule("", "th", "er_", "DH"), Rule("", "th", "ers_", "DH"), Rule("#", "th", "e_", "DH"),
    Rule("", "th", "", "TH"), Rule("", "tt", "", "T"), Rule("", "t", "", "T"),
    // u
    Rule("", "ui", "ld", "IH"), Rule("", "ui", "", "UW"), Rule("g", "uard", "", "AA D"), Rule("", "ure", "_", "Y AO"), Rule("", "urr", "#", "AH R"), Rule("", "ur", "#", "Y AO R"), Rule("", "ur", "", "ER"),
    Rule("", "ue", "_", "UW"), Rule("#:", "um", "_", "AH M"), Rule("#:", "us", "_", "AH S"), Rule("f", "u", "ll", "UH"), Rule("p", "u", "ll", "UH"), Rule("p", "u", "sh", "UH"), Rule("p", "u", "t_", "UH"), Rule("b", "u", "sh", "UH"),
    Rule("r", "u", "^%", "UW"), Rule("l", "u", "^%", "UW"), Rule("j", "u", "^%", "UW"), Rule("", "u", "^%", "Y UW"), Rule("_:", "u", "^#", "Y UW"), Rule("#:", "u", "l", "AH"), Rule("", "u", "_", "UW"), Rule("", "u", "a", "UW"), Rule("", "u", "", "AH"),
    // v w x
    Rule("", "v", "", "V"), Rule("_", "wr", "", "R"), Rule("", "wh", "o", "HH"), Rule("", "wh", "", "W"), Rule("", "w", "#", "W"), Rule("", "w", "r", ""), Rule("", "w", "", ""),
    Rule("_", "x", "", "Z"), Rule("", "x", "", "K S"),
    // y z
    Rule("_", "y", "#", "Y"), Rule("_:", "y", "_", "AY"), Rule("f", "y", "_", "AY"), Rule("#:", "y", "_", "IY"), Rule("", "y", "^%", "AY"), Rule("", "y", "^^", "IH"), Rule("", "y", "", "IH"),
    Rule("", "zz", "", "Z"), Rule("", "z", "", "Z"),
];
