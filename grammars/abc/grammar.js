/**
 * ABC music notation, version 2.1 (with the older habits section 12 allows).
 *
 * Three ideas carry the grammar:
 *
 * - Lines first. What a line is (field, directive, comment, music, text, nothing at all) is settled by the scanner at the
 *   line's first bytes, so no line can be misread because of its neighbours.
 * - A bar is a node. A `music_line` is measures between barlines, and a `measure` holds its elements side by side: an edit
 *   inside one bar leaves all the other bars' nodes as they were. A node is taken over whole by the next parse only if it
 *   neither begins nor ends in a repetition, so that a `music_line` begins with one element or bar line apart from the rest.
 * - Every text has a tree. Whatever is nothing in ABC becomes a `stray` of a character or so where it stands; a string, chord,
 *   grace group or inline field opens only if the scanner sees it closed on the same line.
 */

/// Field lines other than `X:` and `K:`: the letter decides the shape of what follows.
const FIELDS = [
  'title_field',
  'meter_field',
  'unit_length_field',
  'tempo_field',
  'voice_field',
  'user_symbol_field',
  'parts_field',
  'instruction_field',
  'macro_field',
  'lyric_field',
  'words_field',
  'symbol_field',
  'remark_field',
  'text_field',
  'unknown_field',
];

const name = ($, token) => field('name', alias(token, $.field_name));
const text = ($) => field('text', alias($._text, $.text));
const rest = ($) => optional(alias($._rest, $.stray));

const element = ($) =>
  choice(
    $._inner,
    $.chord,
    $.grace_group,
    $.measure_rest,
    $.spacer,
    $.broken_rhythm,
    $.tuplet,
    $.inline_field,
    $.overlay,
    $.backtick,
    $.score_linebreak,
    $.reserved,
    $.stray,
  );

module.exports = grammar({
  name: 'abc',

  externals: ($) => [
    // whole lines and line ends
    $._eol,
    $._blank,
    $._tune_end,
    $._version_open,
    $._version,
    $._free_text,
    $._header_text,
    $._music_in_header,
    $._directive_open,
    $._block_open,
    $._block_text,
    $._block_close,
    // the name of a field, at the start of a line or after `[`
    $._x_name,
    $._k_name,
    $._t_name,
    $._m_name,
    $._l_name,
    $._q_name,
    $._v_name,
    $._u_name,
    $._p_name,
    $._i_name,
    $._macro_name,
    $._lyric_name,
    $._words_name,
    $._s_name,
    $._r_name,
    $._text_name,
    $._unknown_name,
    $._continuation_name,
    // what fields hold
    $._text,
    $._rest,
    $._tail,
    $._reference,
    $._macro_target,
    $._user_letter,
    $._voice_id,
    $._key_tonic,
    $._key_mode,
    $._key_none,
    $._key_pipes,
    $._key_explicit,
    $._key_sign,
    $._clef,
    $._property_key,
    $._property_word,
    $._quote,
    $._inline_close,
    // music
    $._bar,
    $._ending_open,
    $._inline_open,
    $._chord_open,
    $._grace_open,
    $._tuplet_open,
    $._tuplet_colon,
    $._annotation_open,
    $._symbol_open,
    $._string_text,
    $._bang_open,
    $._bang_break,
    $._plus_open,
    $._line_continuation,
    $._unclosed_open,
    $._unclosed_text,
    $._error_sentinel,
  ],

  extras: (_) => [/[ \t\f\v\uFEFF\u00A0]/],

  inline: ($) => [$._inner, $._field],

  rules: {
    source_file: ($) =>
      seq(
        optional($.version_line),
        optional($.file_header),
        repeat(choice($.tune, $.free_text, seq($._field, $._end), $._comment_line, $.directive, $.directive_block, $._blank)),
      ),

    version_line: ($) =>
      seq(
        alias($._version_open, '%abc'),
        optional(field('version', alias($._version, $.version))),
        optional(alias($._tail, $.text)),
        $._end,
      ),

    file_header: ($) =>
      prec.right(repeat1(prec(1, choice(seq($._field, $._end), $._comment_line, $.directive, $.directive_block)))),

    _end: ($) => seq(optional($.comment), $._eol),
    _comment_line: ($) => seq($.comment, $._eol),

    comment: (_) => token(prec(2, /%[^\r\n]*/)),

    free_text: ($) => prec.right(repeat1(seq(alias($._free_text, $.text), $._eol))),

    // tunes -----------------------------------------------------------------------------------------------------------

    tune: ($) =>
      choice(
        seq(alias($._whole_header, $.tune_header), optional($.tune_body), $._tune_end),
        seq(alias($._open_header, $.tune_header), $._tune_end),
      ),

    _whole_header: ($) => choice(seq($._open_header, $.key_field, $._end), seq($.key_field, $._end)),
    _open_header: ($) => seq($.reference_number_field, $._end, repeat($._header_line)),
    _header_line: ($) =>
      choice(
        seq($._field, $._end),
        $._comment_line,
        $.directive,
        $.directive_block,
        $.header_text,
        seq($._music_in_header, $.music_line),
      ),
    header_text: ($) => seq(alias($._header_text, $.text), $._end),

    tune_body: ($) =>
      repeat1(
        choice(
          seq(choice($._field, $.key_field), $._end),
          $._comment_line,
          $.directive,
          $.directive_block,
          $.music_line,
        ),
      ),

    // directives ------------------------------------------------------------------------------------------------------

    directive: ($) =>
      seq(
        alias($._directive_open, '%%'),
        field('name', alias(token.immediate(/[^\s%]+/), $.directive_name)),
        optional(field('value', alias($._text, $.text))),
        $._end,
      ),

    directive_block: ($) =>
      seq(
        alias($._block_open, '%%'),
        field('name', alias(token.immediate(/[^\s%]+/), $.directive_name)),
        optional(field('value', alias($._text, $.text))),
        $._end,
        repeat(seq(optional(field('text', alias($._block_text, $.text))), $._eol)),
        alias($._block_close, '%%'),
        field('end', alias(token.immediate(/[^\s%]+/), $.directive_name)),
        optional(alias($._text, $.text)),
        $._end,
      ),

    // fields ----------------------------------------------------------------------------------------------------------

    _field: ($) => choice(...FIELDS.map((kind) => $[kind]), $.field_continuation),

    reference_number_field: ($) =>
      seq(name($, $._x_name), optional(choice(field('number', alias($._reference, $.reference_number)), text($)))),

    title_field: ($) => seq(name($, $._t_name), optional(text($))),
    parts_field: ($) => seq(name($, $._p_name), optional(text($))),
    lyric_field: ($) => seq(name($, $._lyric_name), optional(text($))),
    words_field: ($) => seq(name($, $._words_name), optional(text($))),
    symbol_field: ($) => seq(name($, $._s_name), optional(text($))),
    remark_field: ($) => seq(name($, $._r_name), optional(text($))),
    text_field: ($) => seq(name($, $._text_name), optional(text($))),
    unknown_field: ($) => seq(name($, $._unknown_name), optional(text($))),
    field_continuation: ($) => seq(name($, $._continuation_name), optional(text($))),

    instruction_field: ($) =>
      seq(
        name($, $._i_name),
        optional(
          seq(
            field('instruction', alias(/[^\s%\]]+/, $.directive_name)),
            optional(field('value', alias($._text, $.text))),
          ),
        ),
        rest($),
      ),

    macro_field: ($) =>
      seq(
        name($, $._macro_name),
        optional(
          choice(
            text($),
            seq(
              field('target', alias($._macro_target, $.macro_target)),
              '=',
              optional(field('replacement', alias($._text, $.text))),
            ),
          ),
        ),
      ),

    user_symbol_field: ($) =>
      seq(
        name($, $._u_name),
        optional(
          choice(
            text($),
            seq(
              field('letter', alias($._user_letter, $.user_letter)),
              '=',
              optional(
                seq(
                  field(
                    'value',
                    choice($.decoration, $.plus_decoration, $.annotation, $.chord_symbol, alias($._text, $.text)),
                  ),
                  optional(alias($._tail, $.stray)),
                ),
              ),
            ),
          ),
        ),
      ),

    key_field: ($) =>
      seq(
        name($, $._k_name),
        optional(
          choice(
            seq(field('tonic', alias($._key_tonic, $.key_tonic)), optional(field('mode', alias($._key_mode, $.key_mode)))),
            alias($._key_none, $.key_none),
            alias($._key_pipes, $.key_pipes),
          ),
        ),
        repeat(choice(alias($._key_explicit, $.key_explicit), $.key_accidental, $._modifier)),
      ),

    key_accidental: ($) =>
      seq(
        field('accidental', alias($._key_sign, $.accidental)),
        field('pitch', alias(token.immediate(/[A-Ga-g]/), $.pitch)),
      ),

    voice_field: ($) =>
      seq(name($, $._v_name), optional(seq(field('voice', alias($._voice_id, $.voice_id)), repeat($._modifier)))),

    _modifier: ($) => choice($.property, alias($._clef, $.clef), alias($._property_word, $.property_word)),

    property: ($) =>
      seq(
        field('key', alias($._property_key, $.property_key)),
        token.immediate('='),
        field('value', choice($.quoted_value, alias(token.immediate(/[^\s"%\]]+/), $.bare_value))),
      ),

    quoted_value: ($) => seq(token.immediate('"'), optional(alias($._string_text, $.text)), '"'),

    meter_field: ($) =>
      seq(
        name($, $._m_name),
        repeat(choice($.meter_common, $.meter_cut, $.meter_none, $.meter_fraction, alias($._meter_word, $.property_word))),
        rest($),
      ),
    meter_common: (_) => 'C',
    meter_cut: (_) => 'C|',
    meter_none: (_) => 'none',
    meter_fraction: ($) =>
      prec.right(seq(field('numerator', $.numerator), optional(seq('/', optional(field('denominator', $.denominator)))))),
    numerator: (_) => /\d+([ \t]*\+[ \t]*\d+)*|\([ \t]*\d+([ \t]*\+[ \t]*\d+)*[ \t]*\)(\+\d+)*/,
    denominator: (_) => token(prec(1, /\d+/)),
    _meter_word: (_) => token(prec(-1, choice(/[A-Za-z|]+/, /[^\s%\]]/))),

    unit_length_field: ($) =>
      seq(
        name($, $._l_name),
        repeat(choice($.fraction, alias($._number, $.fraction), alias($._value_word, $.property_word))),
        rest($),
      ),

    tempo_field: ($) =>
      seq(
        name($, $._q_name),
        repeat(
          choice(
            $.tempo_text,
            field('beat', $.fraction),
            field('rate', alias($._number, $.tempo_rate)),
            field('beat', $.tempo_unit),
            '=',
            alias($._value_word, $.property_word),
          ),
        ),
        rest($),
      ),
    tempo_text: ($) => seq(alias($._quote, '"'), optional(field('text', alias($._string_text, $.text))), '"'),
    tempo_unit: (_) => token(prec(1, /C(\d+(\/\d*)?|\/\d*)?/)),

    fraction: (_) => /\d+[ \t]*\/[ \t]*\d+/,
    _number: (_) => /\d+(\.\d+)?/,
    _value_word: (_) => token(prec(-1, choice(/[^\s\d=%\]"\/]+/, /[^\s%\]]/))),

    // music -----------------------------------------------------------------------------------------------------------

    music_line: ($) =>
      seq(
        choice(
          seq($.measure, repeat($._bar_and_measure), optional($.line_continuation)),
          seq($._bar_and_measure, repeat($._bar_and_measure), optional($.line_continuation)),
          $.line_continuation,
        ),
        optional($.comment),
        $._eol,
      ),

    _bar_and_measure: ($) => seq($.barline, optional($.measure)),

    line_continuation: ($) => $._line_continuation,

    barline: ($) =>
      prec.right(
        choice(
          seq(
            field('sign', alias($._bar, $.bar_sign)),
            optional(choice(field('ending', alias($._ending_list, $.ending)), $._ending)),
          ),
          $._ending,
        ),
      ),
    _ending: ($) => seq(alias($._ending_open, '['), field('ending', alias($._ending_list, $.ending))),
    _ending_list: (_) => token.immediate(/\d+([,\-]\d+)*/),

    measure: ($) => seq(element($), repeat(element($))),

    // What may stand in a measure, a chord or a grace group alike.
    _inner: ($) =>
      choice(
        $.note,
        $.rest,
        $.decoration,
        $.plus_decoration,
        $.annotation,
        $.chord_symbol,
        $.slur_open,
        $.slur_close,
        $.loose_tie,
        alias($.accidental, $.stray),
      ),

    note: ($) =>
      seq(
        choice(
          field('pitch', $.pitch),
          seq(field('accidental', $.accidental), field('pitch', alias($._pitch_after_sign, $.pitch))),
        ),
        optional(field('octave', $.octave)),
        optional(field('length', $.length)),
        optional(field('tie', $.tie)),
      ),
    accidental: (_) => choice('^', '^^', '_', '__', '='),
    pitch: (_) => /[A-Ga-g]/,
    _pitch_after_sign: (_) => token.immediate(prec(1, /[A-Ga-g]/)),
    octave: (_) => token.immediate(/[,']+/),
    length: (_) => token.immediate(/\d+(\/+\d*)?|\/+\d*/),
    tie: (_) => token.immediate(prec(1, /\.?-/)),
    loose_tie: (_) => /\.?-/,

    rest: ($) => seq(field('kind', choice('z', 'x')), optional(field('length', $.length))),
    measure_rest: ($) => seq(field('kind', choice('Z', 'X')), optional(field('count', alias($._count, $.count)))),
    _count: (_) => token.immediate(/\d+/),
    spacer: ($) => seq('y', optional(field('length', $.length))),

    chord: ($) =>
      seq(
        alias($._chord_open, '['),
        repeat(choice($._inner, $.grace_group, alias($._any, $.stray), alias($._bang_break, $.stray))),
        ']',
        optional(field('length', $.length)),
        optional(field('tie', $.tie)),
      ),

    grace_group: ($) =>
      seq(
        alias($._grace_open, '{'),
        optional(field('slash', alias(token.immediate('/'), $.slash))),
        repeat(choice($._inner, $.chord, $.broken_rhythm, $.backtick, alias($._any, $.stray), alias($._bang_break, $.stray))),
        '}',
      ),

    broken_rhythm: (_) => token(/>+|<+/),

    tuplet: ($) =>
      prec.right(
        seq(
          alias($._tuplet_open, '('),
          field('p', alias($._count, $.count)),
          optional(
            seq(
              alias($._tuplet_colon, ':'),
              optional(field('q', alias($._count, $.count))),
              optional(seq(alias($._tuplet_colon, ':'), optional(field('r', alias($._count, $.count))))),
            ),
          ),
        ),
      ),

    slur_open: (_) => choice('(', '.('),
    slur_close: (_) => choice(')', '.)'),

    decoration: ($) =>
      choice(
        seq(
          alias($._bang_open, '!'),
          field('name', alias(token.immediate(/[^!|\[\]:{}"%\s]+/), $.decoration_name)),
          token.immediate('!'),
        ),
        field('shorthand', alias(/[.~H-Wh-w]/, $.shorthand)),
      ),

    plus_decoration: ($) =>
      seq(
        alias($._plus_open, '+'),
        field('name', alias(token.immediate(/[^+|\[\]:{}"%\s]+/), $.decoration_name)),
        token.immediate('+'),
      ),

    annotation: ($) =>
      seq(
        alias($._annotation_open, '"'),
        field('placement', alias(token.immediate(/[\^_<>@]/), $.placement)),
        optional(field('text', alias($._string_text, $.text))),
        '"',
      ),
    chord_symbol: ($) =>
      seq(alias($._symbol_open, '"'), optional(field('text', alias($._string_text, $.text))), '"'),

    inline_field: ($) =>
      seq(
        alias($._inline_open, '['),
        choice($._field, $.key_field, $.reference_number_field),
        alias($._inline_close, ']'),
      ),

    overlay: (_) => /&+/,
    backtick: (_) => /`+/,
    score_linebreak: ($) => choice('$', $._bang_break),
    reserved: (_) => /[#*;?@]/,

    stray: ($) => choice($._any, seq($._unclosed_open, optional($._unclosed_text))),
    _any: (_) => token(prec(-2, choice(/\d+/, /[^\s]/))),
  },
});
