; Colours for ABC: what a reader looks for first is the pitch, then what is done with it.
; Every capture stays within its line, so that editors which colour by line can use it as it is.

; lines
(comment) @comment
["%abc" "%%"] @keyword.directive
(version) @constant
(version_line (text) @comment)
(directive_name) @keyword.directive
(directive value: (text) @string)
(directive_block (text) @string)
(free_text (text) @comment.documentation)
(header_text (text) @comment.documentation)

; fields
(field_name) @keyword
(reference_number) @number
[
  (reference_number_field (text) @string)
  (title_field (text) @string)
  (parts_field (text) @string)
  (lyric_field (text) @string)
  (words_field (text) @string)
  (symbol_field (text) @string)
  (text_field (text) @string)
  (field_continuation (text) @string)
  (instruction_field (text) @string)
  (macro_field (text) @string)
  (user_symbol_field (text) @string)
]
(remark_field (text) @comment)
(unknown_field (text) @comment)
(macro_target) @attribute
(user_letter) @attribute
(key_tonic) @constant
(key_mode) @constant
(clef) @constant
[(key_none) (key_pipes) (key_explicit) (meter_common) (meter_cut) (meter_none)] @constant.builtin
[(numerator) (denominator) (fraction) (tempo_unit) (tempo_rate)] @number
(tempo_text) @string
[(property_key) (property_word)] @property
[(bare_value) (quoted_value)] @string
(voice_id) @label
(property "=" @operator)
(macro_field "=" @operator)
(user_symbol_field "=" @operator)
(tempo_field "=" @operator)
(meter_fraction "/" @operator)
(inline_field ["[" "]"] @punctuation.bracket)

; notes
(accidental) @operator
(pitch) @variable
(octave) @variable
(length) @number
[(tie) (loose_tie)] @operator
[(rest) (measure_rest) (spacer)] @variable.builtin
(chord ["[" "]"] @punctuation.bracket)
(grace_group ["{" "}"] @punctuation.bracket)
(slash) @operator
(tuplet "(" @punctuation.bracket)
(tuplet ":" @punctuation.delimiter)
(tuplet (count) @number)
(broken_rhythm) @operator
[(slur_open) (slur_close)] @punctuation.bracket

; bars and lines of music
(bar_sign) @punctuation.delimiter
(barline "[" @punctuation.delimiter)
(ending) @label
(overlay) @operator
[(backtick) (score_linebreak) (line_continuation)] @punctuation.special

; marks
(decoration) @attribute
(plus_decoration) @attribute
(annotation) @string
(chord_symbol) @string.special

; what means nothing
(reserved) @comment
(stray) @error
