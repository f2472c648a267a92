/**
 * Humdrum files with `**kern`, `**dynam`, `**text` and any other spines.
 *
 * Three ideas carry the grammar:
 *
 * - A line is a record of one kind, settled by the scanner at its first bytes.
 * - A cell is read by its spine's kind. The scanner follows the spines through splits, joins, exchanges and ends, so that
 *   `f` is a note in a `**kern` spine, loud in a `**dynam` spine and a syllable in a `**text` spine.
 * - Every text has a tree. Signifiers stand in any order within a token, and whatever is none becomes a `stray`.
 */

const cells = ($, cell) => seq(cell, repeat(seq('\t', cell)));
const immediate = (pattern) => token.immediate(pattern);
const layout = ($) =>
  seq(
    optional(field('type', alias(immediate(/[^:=\t\r\n]+/), $.layout_type))),
    optional(alias(immediate(/=[^:\t\r\n]*/), $.stray)),
    repeat($.layout_parameter),
  );

module.exports = grammar({
  name: 'kern',

  externals: ($) => [
    // what kind of record a line is, and its end
    $._eol,
    $._blank,
    $._reference_open,
    $._global_open,
    $._exclusive_open,
    $._interpretation_open,
    $._local_open,
    $._barline_open,
    $._data_open,
    // what kind of cell comes next in a data record
    $.null,
    $._empty,
    $._note_open,
    $._rest_open,
    $._chord_open,
    $._loose_open,
    $._dynam_open,
    $._text_open,
    $._other_open,
    // the notes of a chord
    $._chord_note,
    $._chord_rest,
    $._chord_loose,
    $._error_sentinel,
  ],

  extras: (_) => [],

  rules: {
    source_file: ($) =>
      repeat(choice($.reference_records, $._lines, $.exclusive_record, $.measure)),

    measure: ($) => prec.right(seq($.barline_record, repeat($._lines))),

    _lines: ($) => choice($.data_record, $.local_comment_record, $.interpretation_record, $.global_comment, $._blank),

    // comments --------------------------------------------------------------------------------------------------------

    reference_records: ($) => prec.right(repeat1($.reference_record)),

    reference_record: ($) =>
      seq(
        $._reference_open,
        alias(/!!!+/, '!!!'),
        optional(field('key', alias(immediate(/[^:\t\r\n]+/), $.reference_key))),
        optional(seq(immediate(':'), optional(field('value', alias(immediate(/[^\r\n]+/), $.text))))),
        optional(alias(immediate(/\t[^\r\n]*/), $.stray)),
        $._eol,
      ),

    global_comment: ($) =>
      seq(
        $._global_open,
        choice(
          seq(
            alias(token(prec(1, '!!LO:')), '!!LO:'),
            layout($),
            optional(alias(immediate(/\t[^\r\n]*/), $.stray)),
          ),
          seq('!!', optional(alias(immediate(/[^\r\n]+/), $.text))),
        ),
        $._eol,
      ),

    local_comment_record: ($) => seq($._local_open, cells($, $._local), $._eol),

    _local: ($) =>
      choice(
        alias('!', $.null_comment),
        $.layout_comment,
        alias(/![^\t\r\n]+/, $.local_comment),
        alias(/[^!\t\r\n][^\t\r\n]*/, $.stray),
        $._nothing,
      ),

    layout_comment: ($) => seq(alias(token(prec(1, '!LO:')), '!LO:'), layout($)),

    layout_parameter: ($) =>
      prec.right(
        seq(
          immediate(':'),
          optional(field('key', alias(immediate(/[^:=\t\r\n]+/), $.layout_key))),
          optional(seq(immediate('='), optional(field('value', alias(immediate(/[^:\t\r\n]+/), $.layout_value))))),
        ),
      ),

    // A cell between two tabs that holds nothing.
    _nothing: ($) => $._empty,

    // interpretations -------------------------------------------------------------------------------------------------

    exclusive_record: ($) => seq($._exclusive_open, cells($, $._exclusive), $._eol),

    _exclusive: ($) =>
      choice(
        alias(/\*\*[^\t\r\n]*/, $.exclusive_interpretation),
        $._interpretation,
      ),

    interpretation_record: ($) => seq($._interpretation_open, cells($, $._interpretation), $._eol),

    _interpretation: ($) =>
      choice(
        alias('*', $.null_interpretation),
        alias('*^', $.spine_split),
        alias('*v', $.spine_join),
        alias('*+', $.spine_add),
        alias('*-', $.spine_end),
        alias('*x', $.spine_exchange),
        $.key_signature,
        $.transposition,
        $.instrument_name,
        $.clef,
        $.meter,
        $.tempo,
        $.instrument,
        $.section,
        $.key,
        alias(/\*[^\t\r\n]+/, $.tandem_interpretation),
        alias(/[^*\t\r\n][^\t\r\n]*/, $.stray),
        $._nothing,
      ),

    key_signature: ($) =>
      seq(
        alias(token(prec(2, /\*[a-z]?k\[/)), '*k['),
        repeat(choice(alias(immediate(/[A-Ga-g](#+|-+|n)?/), $.key_accidental), alias(immediate(/[^\]A-Ga-g\t\r\n]/), $.stray))),
        optional(immediate(']')),
        optional(alias(immediate(/[^\]A-Ga-g\t\r\n][^\t\r\n]*/), $.stray)),
      ),

    transposition: ($) =>
      seq(
        field('kind', alias(token(prec(2, /\*I?Tr/)), $.transposition_kind)),
        optional(seq(immediate('d'), optional(field('diatonic', alias(immediate(/[+-]?\d+/), $.integer))))),
        optional(seq(immediate('c'), optional(field('chromatic', alias(immediate(/[+-]?\d+/), $.integer))))),
        repeat(alias(immediate(prec(-1, /[^\t\r\n]/)), $.stray)),
      ),

    instrument_name: ($) =>
      seq(
        field('kind', alias(token(prec(2, /\*[a-z]?I["'#]/)), $.name_kind)),
        optional(field('name', alias(immediate(/[^\t\r\n]+/), $.text))),
      ),

    clef: (_) => token(prec(1, /\*[a-z]?clef[^\t\r\n]*/)),
    meter: (_) => token(prec(1, /\*(M\d[^\t\r\n]*|met\([^\t\r\n]*)/)),
    tempo: (_) => token(prec(1, /\*MM[^\t\r\n]*/)),
    instrument: (_) => token(prec(1, /\*I[A-Za-z:][^\t\r\n]*/)),
    section: (_) => token(prec(1, /\*>[^\t\r\n]*/)),
    key: (_) => token(prec(1, /\*[A-Ga-g?][#-]*:[^\t\r\n]*/)),

    // barlines --------------------------------------------------------------------------------------------------------

    barline_record: ($) => seq($._barline_open, cells($, $._barline), $._eol),

    _barline: ($) => choice($.barline, alias(/[^=\t\r\n][^\t\r\n]*/, $.stray), $._nothing),

    barline: ($) =>
      seq(
        alias(/=+/, '='),
        optional(field('number', alias(immediate(/\d+[a-z]?/), $.number))),
        optional(field('style', alias(immediate(/[^\d\t\r\n=][^\t\r\n]*/), $.barline_style))),
      ),

    // data ------------------------------------------------------------------------------------------------------------

    data_record: ($) => seq($._data_open, repeat1($._cell), $._eol),

    _cell: ($) =>
      choice(
        $.null,
        $._empty,
        alias($._note, $.note),
        alias($._rest, $.rest),
        alias($._loose, $.signifiers),
        $.chord,
        $.dynamics,
        seq($._text_open, alias(/[^\t\r\n]+/, $.syllable)),
        seq($._other_open, alias(/[^\t\r\n]+/, $.data)),
      ),

    chord: ($) =>
      seq(
        $._chord_open,
        repeat1(
          choice(
            alias($._note_of_chord, $.note),
            alias($._rest_of_chord, $.rest),
            alias($._loose_of_chord, $.signifiers),
          ),
        ),
      ),

    _note: ($) => seq($._note_open, repeat1($._piece)),
    _rest: ($) => seq($._rest_open, repeat1($._piece)),
    _loose: ($) => seq($._loose_open, repeat1($._piece)),
    _note_of_chord: ($) => seq($._chord_note, repeat1($._piece)),
    _rest_of_chord: ($) => seq($._chord_rest, repeat1($._piece)),
    _loose_of_chord: ($) => prec.right(seq($._chord_loose, repeat($._piece))),

    _piece: ($) =>
      choice(
        $.duration,
        $.dots,
        $.pitch,
        $.rest_sign,
        $.accidental,
        $.editorial,
        $.tie_open,
        $.tie_continue,
        $.tie_close,
        $.slur_open,
        $.slur_close,
        $.phrase_open,
        $.phrase_close,
        $.grace,
        $.beam,
        $.stem,
        $.fermata,
        $.articulation,
        $.ornament,
        $.placement,
        $.user_signifier,
        alias($._stray, $.stray),
      ),

    duration: (_) => /\d+(%\d+)?/,
    dots: (_) => /\.+/,
    pitch: (_) => /a+|b+|c+|d+|e+|f+|g+|A+|B+|C+|D+|E+|F+|G+/,
    rest_sign: (_) => /r+/,
    accidental: (_) => /#+|-+|n+/,
    editorial: (_) => /x+|X+|y+|Y+|\?+/,
    tie_open: (_) => /\[+/,
    tie_continue: (_) => /_+/,
    tie_close: (_) => /\]+/,
    slur_open: (_) => /&?\(/,
    slur_close: (_) => /&?\)/,
    phrase_open: (_) => /&?\{/,
    phrase_close: (_) => /&?\}/,
    grace: (_) => /q+|Q|[pP]/,
    beam: (_) => /[LJKk]+/,
    stem: (_) => /[\/\\]/,
    fermata: (_) => ';',
    articulation: (_) => /['"`~^,:Uoszuv]/,
    ornament: (_) => /[mMSTtWw$ORhH]+/,
    placement: (_) => /[<>]/,
    user_signifier: (_) => /[ijlN|VZ@+]/,
    _stray: (_) => token(prec(-1, /[^ \t\r\n]/)),

    dynamics: ($) => seq($._dynam_open, repeat1($._dynamic_piece)),

    _dynamic_piece: ($) =>
      choice(
        alias(/[pfmsrz]+/, $.dynamic),
        alias(/[<>]+/, $.hairpin_open),
        alias(/[\[\]]+/, $.hairpin_close),
        alias(/[()]+/, $.hairpin_continue),
        alias(/[xXyY?]+/, $.editorial),
        / +/,
        alias(token(prec(-1, /[^\t\r\n]/)), $.stray),
      ),
  },
});
