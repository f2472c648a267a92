//! A tree kept through edits is the tree of the text as it now stands.

#[path = "../../edits.rs"]
mod edits;

const SCORE: &str = "!!!COM: Pier Band\n**kern\t**dynam\t**kern\n*I\"Corno in F\t*\t*Ioboe\n*k[b-]\t*\t*k[]\n=1\t=1\t=1\n\
    *^\t*\t*\n4c\t4e\tf\t4g 4b-\n.\t.\t<\t8r\n!\t!\t!LO:DY:a\t!LO:TX:a:t=+\n2.dd#X\\L(\t2r\t[ ff\t2.g_)\n*v\t*v\t*\t*\n\
    =2:|!\t=2:|!\t=2:|!\n*x\t*x\t*\nf\tf\tqqf\n*-\t*-\t*-\n!!!ONB: done\n";
const PIECES: [&str; 16] = [
    "\t", "c", "*", "\n", "=", "!", ".", " ", "[", "r", "*^", "-", "**text", "é", "4", "*v",
];

#[test]
fn edits_and_fresh_parses_agree() {
    edits::agree_with_fresh_parses(&grammar_kern::LANGUAGE.into(), SCORE, &PIECES);
}
