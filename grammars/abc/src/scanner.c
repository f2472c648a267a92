// The part of reading ABC that needs to look further than one character.
//
// The scanner keeps no state: which tokens the parser can take next already says where the text stands (outside a tune, in a
// header, in a body, in an inline field), so a parse can be taken up again at any token.

#include "tree_sitter/parser.h"

#include <string.h>

enum Token {
    EOL,
    BLANK,
    TUNE_END,
    VERSION_OPEN,
    VERSION,
    FREE_TEXT,
    HEADER_TEXT,
    MUSIC_IN_HEADER,
    DIRECTIVE_OPEN,
    BLOCK_OPEN,
    BLOCK_TEXT,
    BLOCK_CLOSE,
    X_NAME,
    K_NAME,
    T_NAME,
    M_NAME,
    L_NAME,
    Q_NAME,
    V_NAME,
    U_NAME,
    P_NAME,
    I_NAME,
    MACRO_NAME,
    LYRIC_NAME,
    WORDS_NAME,
    S_NAME,
    R_NAME,
    TEXT_NAME,
    UNKNOWN_NAME,
    CONTINUATION_NAME,
    TEXT,
    REST,
    TAIL,
    REFERENCE,
    MACRO_TARGET,
    USER_LETTER,
    VOICE_ID,
    KEY_TONIC,
    KEY_MODE,
    KEY_NONE,
    KEY_PIPES,
    KEY_EXPLICIT,
    KEY_SIGN,
    CLEF,
    PROPERTY_KEY,
    PROPERTY_WORD,
    QUOTE,
    INLINE_CLOSE,
    BAR,
    ENDING_OPEN,
    INLINE_OPEN,
    CHORD_OPEN,
    GRACE_OPEN,
    TUPLET_OPEN,
    TUPLET_COLON,
    ANNOTATION_OPEN,
    SYMBOL_OPEN,
    STRING_TEXT,
    BANG_OPEN,
    BANG_BREAK,
    PLUS_OPEN,
    LINE_CONTINUATION,
    UNCLOSED_OPEN,
    UNCLOSED_TEXT,
    ERROR_SENTINEL,
};

// Characters -----------------------------------------------------------------------------------------------------------

static inline int32_t peek(TSLexer *lexer) { return lexer->lookahead; }
static inline void next(TSLexer *lexer) { lexer->advance(lexer, false); }
static inline void end_here(TSLexer *lexer) { lexer->mark_end(lexer); }

static inline bool take(TSLexer *lexer, enum Token token) {
    lexer->result_symbol = token;
    return true;
}

static inline bool is_newline(int32_t c) { return c == '\n' || c == '\r'; }

static inline bool is_space(int32_t c) { return c == ' ' || c == '\t' || c == '\f' || c == '\v' || c == 0xFEFF || c == 0xA0; }

static inline bool is_digit(int32_t c) { return c >= '0' && c <= '9'; }

static inline bool is_letter(int32_t c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

static inline bool is_note(int32_t c) { return (c >= 'A' && c <= 'G') || (c >= 'a' && c <= 'g'); }

static inline int32_t lower(int32_t c) { return c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c; }

static inline bool at_end(TSLexer *lexer) { return is_newline(peek(lexer)) || lexer->eof(lexer); }

static inline bool skip_spaces(TSLexer *lexer) {
    bool any = false;
    while (is_space(peek(lexer))) {
        any = any || peek(lexer) != 0xFEFF;
        lexer->advance(lexer, true);
    }
    return any;
}

// LF, CRLF and lone CR each end one line.
static void newline(TSLexer *lexer) {
    if (peek(lexer) == '\r') {
        next(lexer);
        if (peek(lexer) == '\n') {
            next(lexer);
        }
    } else if (peek(lexer) == '\n') {
        next(lexer);
    }
}

// Text to the end of the line, or to an unescaped `%`, or (in an inline field) to `]`; white space at its end is left out.
static bool text_to_end(TSLexer *lexer, bool comments, bool in_line, enum Token token) {
    bool any = false;
    while (!at_end(lexer)) {
        int32_t c = peek(lexer);
        if ((comments && c == '%') || (in_line && c == ']')) {
            break;
        }
        next(lexer);
        if (!is_space(c)) {
            any = true;
            end_here(lexer);
        }
        if (c == '\\' && !at_end(lexer) && !is_space(peek(lexer)) && !(in_line && peek(lexer) == ']')) {
            next(lexer);
            end_here(lexer);
        }
    }
    return any && take(lexer, token);
}

static bool is_vowel(int32_t c) { return c > 0 && c < 128 && strchr("aeiouyAEIOUY", c) != NULL; }

// Looks for the `"` that closes a string, from just after the one that opened it. `\"` before a vowel is a letter with
// two dots if the string is closed later on.
static bool string_closes(TSLexer *lexer, bool in_line) {
    bool doubtful = false;
    while (!at_end(lexer) && peek(lexer) != '%' && !(in_line && peek(lexer) == ']')) {
        int32_t c = peek(lexer);
        next(lexer);
        if (c == '"') {
            return true;
        }
        if (c == '\\' && !at_end(lexer)) {
            bool quote = peek(lexer) == '"';
            next(lexer);
            if (quote) {
                if (!is_vowel(peek(lexer))) {
                    return true;
                }
                doubtful = true;
            }
        }
    }
    return doubtful;
}

// The inside of a string whose end `string_closes` has found: up to its last `"`, as far as the two dots leave a doubt.
static bool string_text(TSLexer *lexer) {
    bool any = false;
    bool doubtful = false;
    while (!at_end(lexer) && peek(lexer) != '%' && peek(lexer) != '"') {
        int32_t c = peek(lexer);
        next(lexer);
        any = true;
        bool quote = c == '\\' && peek(lexer) == '"';
        if (!doubtful || quote) {
            end_here(lexer);
        }
        if (quote) {
            next(lexer);
            if (!is_vowel(peek(lexer))) {
                return take(lexer, STRING_TEXT);
            }
            doubtful = true;
        } else if (c == '\\' && !at_end(lexer)) {
            next(lexer);
            if (!doubtful) {
                end_here(lexer);
            }
        }
    }
    if (doubtful && peek(lexer) == '"') {
        end_here(lexer);
    }
    return any && take(lexer, STRING_TEXT);
}

// `!name!`, from just after the first mark (section 4.14 and the reading of old files in section 12): a decoration if the
// second mark comes before any of `| [ : ]`, a space or the end of the line.
static bool mark_closes(TSLexer *lexer, int32_t mark) {
    bool any = false;
    while (!at_end(lexer)) {
        int32_t c = peek(lexer);
        if (c == mark) {
            return any;
        }
        if (is_space(c) || (c > 0 && c < 128 && strchr("|[:]{}\"%", c))) {
            return false;
        }
        any = true;
        next(lexer);
    }
    return false;
}

// Looks for the mark that closes a chord (`]`) or grace group (`}`), from inside it. Either may hold one of the other kind;
// bars, line ends and comments say it is not one. `any` says if something stands in it already.
static bool group_closes(TSLexer *lexer, int32_t close, bool any) {
    int32_t inner_open = close == ']' ? '{' : '[';
    int32_t inner_close = close == ']' ? '}' : ']';
    bool inside = false;
    while (!at_end(lexer)) {
        int32_t c = peek(lexer);
        if (c == close) {
            return any && !inside;
        }
        if (c == '|' || c == '%' || c == ':' || (c == inner_open && inside) || (c == inner_close && !inside)
            || c == (close == ']' ? '[' : '{')) {
            return false;
        }
        if (c == inner_open || c == inner_close) {
            inside = c == inner_open;
        }
        next(lexer);
        if (c == '"' && !string_closes(lexer, false)) {
            return false;
        }
        any = any || !(is_space(c) || (c == '/' && close == '}'));
    }
    return false;
}

// A letter that may name an inline field; the others are notes, rests and spacers.
static inline bool is_inline_field(int32_t c) {
    return is_letter(c) && !is_note(c) && c != 'x' && c != 'y' && c != 'z' && c != 'Z';
}

// After `[`: reads on as far as it must to see whether an inline field's name and colon follow.
static bool names_field(TSLexer *lexer) {
    if (!is_inline_field(peek(lexer))) {
        return false;
    }
    next(lexer);
    return peek(lexer) == ':';
}

// The rest of an inline field, after its colon. Where the next field opens, this one was never closed.
static bool field_closes(TSLexer *lexer) {
    while (!at_end(lexer)) {
        int32_t c = peek(lexer);
        if (c == ']') {
            return true;
        }
        if (c == '%') {
            return false;
        }
        next(lexer);
        if (c == '[' && names_field(lexer)) {
            return false;
        }
        if (c == '\\' && !at_end(lexer) && peek(lexer) != ']') {
            next(lexer);
        }
    }
    return false;
}

// Fields --------------------------------------------------------------------------------------------------------------

static enum Token field_token(int32_t letter) {
    switch (letter) {
        case 'X': return X_NAME;
        case 'K': return K_NAME;
        case 'T': return T_NAME;
        case 'M': return M_NAME;
        case 'L': return L_NAME;
        case 'Q': return Q_NAME;
        case 'V': return V_NAME;
        case 'U': return U_NAME;
        case 'P': return P_NAME;
        case 'I': return I_NAME;
        case 'm': return MACRO_NAME;
        case 'w': return LYRIC_NAME;
        case 'W': return WORDS_NAME;
        case 's': return S_NAME;
        case 'r': return R_NAME;
        default: return letter < 128 && strchr("ABCDEFGHNORSZ", letter) ? TEXT_NAME : UNKNOWN_NAME;
    }
}

// In a body every other letter before a colon is a note, a rest or a decoration before a bar line.
static bool is_body_field(int32_t letter) { return letter < 128 && strchr("IKLMmNPQRrsTUVWw", letter) != NULL; }

#define WORD_MAX 32

struct Word {
    char text[WORD_MAX];
    unsigned length;
};

static void word_add(struct Word *word, int32_t c) {
    if (word->length < WORD_MAX - 1) {
        word->text[word->length++] = (char)(c < 128 ? lower(c) : '?');
        word->text[word->length] = 0;
    }
}

static bool word_is(const struct Word *word, const char *other) { return strcmp(word->text, other) == 0; }

// The first three letters of a mode name decide; `m` alone is minor.
static bool is_mode(const char *word) {
    static const char *const modes[] = {"maj", "min", "mix", "ion", "aeo", "dor", "phr", "lyd", "loc"};
    if (strcmp(word, "m") == 0) {
        return true;
    }
    for (const char *c = word; *c; c++) {
        if (*c < 'a' || *c > 'z') {
            return false;
        }
    }
    for (unsigned i = 0; i < sizeof modes / sizeof modes[0]; i++) {
        if (strncmp(word, modes[i], 3) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_clef(const char *word) {
    static const char *const clefs[] = {"treble", "bass", "alto", "tenor", "perc", "none"};
    for (unsigned i = 0; i < sizeof clefs / sizeof clefs[0]; i++) {
        size_t length = strlen(clefs[i]);
        if (strncmp(word, clefs[i], length) == 0) {
            const char *tail = word + length;
            if (*tail >= '1' && *tail <= '5') {
                tail++;
            }
            return *tail == 0 || strcmp(tail, "8") == 0 || strcmp(tail, "+8") == 0 || strcmp(tail, "-8") == 0;
        }
    }
    return false;
}

static inline bool ends_word(TSLexer *lexer, bool in_line) {
    int32_t c = peek(lexer);
    return at_end(lexer) || is_space(c) || c == '%' || (in_line && c == ']');
}

static bool property_word(TSLexer *lexer, bool in_line) {
    while (!ends_word(lexer, in_line)) {
        int32_t c = peek(lexer);
        next(lexer);
        if (c == '\\' && peek(lexer) == '%') {
            next(lexer);
        }
    }
    end_here(lexer);
    return take(lexer, PROPERTY_WORD);
}

// One word of a `K:` or `V:` field.
static bool field_word(TSLexer *lexer, const bool *valid, bool spaced) {
    bool in_line = valid[INLINE_CLOSE];

    if (valid[VOICE_ID]) {
        while (!ends_word(lexer, in_line)) {
            next(lexer);
        }
        end_here(lexer);
        return take(lexer, VOICE_ID);
    }

    int32_t c = peek(lexer);
    if (valid[KEY_SIGN] && (c == '^' || c == '_' || c == '=')) {
        next(lexer);
        if (c != '=' && peek(lexer) == c) {
            next(lexer);
        }
        end_here(lexer);
        if (is_note(peek(lexer))) {
            next(lexer);
            if (!is_letter(peek(lexer))) {
                return take(lexer, KEY_SIGN);
            }
        }
        return property_word(lexer, in_line);
    }

    struct Word word = {.text = {0}, .length = 0};
    struct Word tail = {.text = {0}, .length = 0};
    bool tonic = valid[KEY_TONIC] && c >= 'A' && c <= 'G';
    bool capital_pipes = c == 'H';
    if (tonic) {
        word_add(&word, c);
        next(lexer);
        c = peek(lexer);
        if (c == '#' || c == 'b' || c == 0x266D || c == 0x266F) {
            word_add(&word, c);
            next(lexer);
        }
        end_here(lexer);
    }
    while (!ends_word(lexer, in_line)) {
        c = peek(lexer);
        if (!is_letter(c) && !is_digit(c) && c != ':' && c != '-' && c != '+' && c != '.') {
            if (c != '_') {
                break;
            }
            // `_` joins words of a key (`my_key=1`) but starts an accidental (`Phr_b`).
            if (is_mode(tonic ? tail.text : word.text)) {
                break;
            }
        }
        word_add(&word, c);
        word_add(&tail, c);
        next(lexer);
    }

    bool assigned = peek(lexer) == '=';
    if (tonic && !(assigned && !is_mode(tail.text) && tail.length > 1) && !is_clef(word.text)) {
        return take(lexer, KEY_TONIC);
    }
    end_here(lexer);
    if (word.length == 0) {
        return property_word(lexer, in_line);
    }
    if (valid[KEY_MODE] && is_mode(word.text) && !(assigned && spaced)) {
        return take(lexer, KEY_MODE);
    }
    if (!assigned && ends_word(lexer, in_line)) {
        if (valid[KEY_NONE] && word_is(&word, "none")) {
            return take(lexer, KEY_NONE);
        }
        if (valid[KEY_PIPES] && capital_pipes && word_is(&word, "hp")) {
            return take(lexer, KEY_PIPES);
        }
        if (valid[KEY_EXPLICIT] && word_is(&word, "exp")) {
            return take(lexer, KEY_EXPLICIT);
        }
        if (is_clef(word.text)) {
            return take(lexer, CLEF);
        }
    }
    if (assigned) {
        next(lexer);
        if (ends_word(lexer, in_line)) {
            return property_word(lexer, in_line);
        }
        if (peek(lexer) == '"') {
            next(lexer);
            // The word ends before its `=` if the string it opens is not closed.
            return take(lexer, string_closes(lexer, in_line) ? PROPERTY_KEY : PROPERTY_WORD);
        }
        if (peek(lexer) == ']') {
            return property_word(lexer, in_line);
        }
        return take(lexer, PROPERTY_KEY);
    }
    return property_word(lexer, in_line);
}

// Lines ---------------------------------------------------------------------------------------------------------------

// Reads as much of `word` as stands here; true if all of it does and a letter follows.
static bool names_block(TSLexer *lexer, const char *word) {
    while (*word && peek(lexer) == *word) {
        next(lexer);
        word++;
    }
    return !*word && is_letter(peek(lexer));
}

// After `%%`: reads the directive's name; true if it opens a block that some later line closes. Blocks do not hold blocks, so
// the search stops where the next one would open: a block left open swallows none of its neighbours, and however many are left
// open, no line is searched twice.
static bool opens_block(TSLexer *lexer) {
    if (!names_block(lexer, "begin")) {
        return false;
    }
    while (!lexer->eof(lexer)) {
        while (!at_end(lexer)) {
            next(lexer);
        }
        newline(lexer);
        if (peek(lexer) != '%') {
            continue;
        }
        next(lexer);
        if (peek(lexer) != '%') {
            continue;
        }
        next(lexer);
        bool closes = peek(lexer) == 'e';
        if (names_block(lexer, closes ? "end" : "begin")) {
            return closes;
        }
    }
    return false;
}

static bool scan_music(TSLexer *lexer, const bool *valid);

static bool scan_block_line(TSLexer *lexer, const bool *valid) {
    const char *end = "%%end";
    unsigned matched = 0;
    while (end[matched] && peek(lexer) == end[matched]) {
        next(lexer);
        matched++;
        if (matched == 2) {
            end_here(lexer);
        }
    }
    if (!end[matched] && is_letter(peek(lexer)) && valid[BLOCK_CLOSE]) {
        return take(lexer, BLOCK_CLOSE);
    }
    if (lexer->eof(lexer) && matched == 0) {
        return false;
    }
    if (at_end(lexer) && matched == 0) {
        newline(lexer);
        end_here(lexer);
        return take(lexer, EOL);
    }
    while (!at_end(lexer)) {
        next(lexer);
    }
    end_here(lexer);
    return take(lexer, BLOCK_TEXT);
}

static bool scan_line_start(TSLexer *lexer, const bool *valid) {
    bool in_header = valid[HEADER_TEXT];
    bool in_body = valid[TUNE_END] && !in_header;

    end_here(lexer);
    bool indented = skip_spaces(lexer);
    int32_t c = peek(lexer);

    if (at_end(lexer)) {
        if (valid[TUNE_END]) {
            return take(lexer, TUNE_END);
        }
        if (lexer->eof(lexer) || !valid[BLANK]) {
            return false;
        }
        newline(lexer);
        end_here(lexer);
        return take(lexer, BLANK);
    }

    if (c == '%') {
        next(lexer);
        c = peek(lexer);
        if (c == '%' && !indented) {
            next(lexer);
            end_here(lexer);
            if (!is_letter(peek(lexer))) {
                return false;
            }
            return take(lexer, opens_block(lexer) ? BLOCK_OPEN : DIRECTIVE_OPEN);
        }
        if (c == 'a' && valid[VERSION_OPEN] && !indented) {
            next(lexer);
            if (peek(lexer) != 'b') {
                return false;
            }
            next(lexer);
            if (peek(lexer) != 'c') {
                return false;
            }
            next(lexer);
            end_here(lexer);
            if (peek(lexer) == '-') {
                next(lexer);
                end_here(lexer);
                return !at_end(lexer) && !is_space(peek(lexer)) && peek(lexer) != '%' && take(lexer, VERSION_OPEN);
            }
            return (at_end(lexer) || is_space(peek(lexer))) && take(lexer, VERSION_OPEN);
        }
        return false;
    }

    if (c == '+' && !indented) {
        next(lexer);
        if (peek(lexer) == ':') {
            next(lexer);
            end_here(lexer);
            return take(lexer, CONTINUATION_NAME);
        }
        if (in_body) {
            // `+name+` at the start of a music line
            end_here(lexer);
            return mark_closes(lexer, '+') && take(lexer, PLUS_OPEN);
        }
    } else if (is_letter(c) && (!indented || in_header)) {
        next(lexer);
        if (peek(lexer) == ':') {
            next(lexer);
            if (c == 'X') {
                int32_t after = peek(lexer);
                bool bar = in_body && (after == '|' || after == ':' || after == ']');
                if (valid[TUNE_END] && !bar) {
                    return take(lexer, TUNE_END);
                }
                if (!bar && valid[X_NAME]) {
                    end_here(lexer);
                    return take(lexer, X_NAME);
                }
            } else if (!in_body || is_body_field(c)) {
                end_here(lexer);
                return take(lexer, field_token(c));
            }
        }
        if (in_body) {
            return false;
        }
    }

    if (in_body) {
        return scan_music(lexer, valid);
    }

    if (in_header) {
        // Music before the key is still music: it has a bar, and no word of four letters and more before it. Anything else
        // without a field name is text, such as more history.
        bool bar = false;
        bool prose = false;
        unsigned letters = 0;
        unsigned not_notes = 0;
        while (!at_end(lexer) && !bar) {
            c = peek(lexer);
            bar = c == '|' && !prose;
            letters = is_letter(c) ? letters + 1 : 0;
            not_notes = is_letter(c) ? not_notes + !is_note(c) : 0;
            prose = prose || (letters > 3 && not_notes > 1);
            next(lexer);
        }
        if (bar) {
            return take(lexer, MUSIC_IN_HEADER);
        }
        end_here(lexer);
        return take(lexer, HEADER_TEXT);
    }

    end_here(lexer);
    text_to_end(lexer, false, false, FREE_TEXT);
    return take(lexer, FREE_TEXT);
}

// Music ---------------------------------------------------------------------------------------------------------------

// A run of `| [ ] :` from where the lexer stands (section 4.8); `[` belongs to it only before `|`. One `:` or `]` by itself is
// no bar line.
static bool bar_run(TSLexer *lexer) {
    bool any = false;
    unsigned marks = 0;
    bool colon = false;
    end_here(lexer);
    for (;;) {
        int32_t c = peek(lexer);
        if (c == '|') {
            any = true;
        } else if (c == ':') {
            colon = true;
        } else if (c == ']') {
            // closes what went before it
        } else if (c == '[') {
            next(lexer);
            if (peek(lexer) != '|') {
                break;
            }
            any = true;
        } else {
            break;
        }
        next(lexer);
        end_here(lexer);
        marks++;
    }
    return (any || (colon && marks > 1)) && take(lexer, BAR);
}

static bool scan_bracket(TSLexer *lexer, const bool *valid) {
    next(lexer);
    end_here(lexer);
    int32_t c = peek(lexer);
    if (c == '|') {
        return valid[BAR] && bar_run(lexer);
    }
    if (is_digit(c)) {
        return valid[ENDING_OPEN] && take(lexer, ENDING_OPEN);
    }
    if (is_letter(c) && valid[INLINE_OPEN]) {
        next(lexer);
        if (peek(lexer) == ':') {
            if (!is_inline_field(c)) {
                return false;
            }
            return take(lexer, field_closes(lexer) ? INLINE_OPEN : UNCLOSED_OPEN);
        }
        return valid[CHORD_OPEN] && group_closes(lexer, ']', true) && take(lexer, CHORD_OPEN);
    }
    return valid[CHORD_OPEN] && group_closes(lexer, ']', false) && take(lexer, CHORD_OPEN);
}

static bool scan_music(TSLexer *lexer, const bool *valid) {
    int32_t c = peek(lexer);
    switch (c) {
        case '|':
            return valid[BAR] && bar_run(lexer);
        case ':':
        case ']':
            if (!valid[BAR]) {
                return false;
            }
            return bar_run(lexer);
        case '.':
            if (!valid[BAR]) {
                return false;
            }
            next(lexer);
            return peek(lexer) == '|' && bar_run(lexer);
        case '[':
            return scan_bracket(lexer, valid);
        case '{':
            if (!valid[GRACE_OPEN]) {
                return false;
            }
            next(lexer);
            end_here(lexer);
            return group_closes(lexer, '}', false) && take(lexer, GRACE_OPEN);
        case '(': {
            if (!valid[TUPLET_OPEN]) {
                return false;
            }
            next(lexer);
            end_here(lexer);
            c = peek(lexer);
            if (!is_digit(c)) {
                return false;
            }
            next(lexer);
            return (c >= '2' || is_digit(peek(lexer))) && take(lexer, TUPLET_OPEN);
        }
        case '"': {
            if (!valid[SYMBOL_OPEN]) {
                return false;
            }
            next(lexer);
            end_here(lexer);
            c = peek(lexer);
            bool placed = c == '^' || c == '_' || c == '<' || c == '>' || c == '@';
            if (string_closes(lexer, false)) {
                return take(lexer, placed ? ANNOTATION_OPEN : SYMBOL_OPEN);
            }
            return valid[UNCLOSED_OPEN] && take(lexer, UNCLOSED_OPEN);
        }
        case '!':
            if (!valid[BANG_OPEN]) {
                return false;
            }
            next(lexer);
            end_here(lexer);
            if (mark_closes(lexer, '!')) {
                return take(lexer, BANG_OPEN);
            }
            return valid[BANG_BREAK] && take(lexer, BANG_BREAK);
        case '+':
            if (!valid[PLUS_OPEN]) {
                return false;
            }
            next(lexer);
            end_here(lexer);
            return mark_closes(lexer, '+') && take(lexer, PLUS_OPEN);
        case '\\':
            if (!valid[LINE_CONTINUATION]) {
                return false;
            }
            next(lexer);
            end_here(lexer);
            while (is_space(peek(lexer))) {
                next(lexer);
            }
            return (at_end(lexer) || peek(lexer) == '%') && take(lexer, LINE_CONTINUATION);
        default:
            return false;
    }
}

// Entry ---------------------------------------------------------------------------------------------------------------

static bool scan(TSLexer *lexer, const bool *valid) {
    if (valid[ERROR_SENTINEL]) {
        // Recovering from an error: the end of the line is where it stops.
        skip_spaces(lexer);
        if (!is_newline(peek(lexer))) {
            return false;
        }
        newline(lexer);
        end_here(lexer);
        return take(lexer, EOL);
    }
    if (valid[STRING_TEXT]) {
        return string_text(lexer);
    }
    if (valid[BLOCK_TEXT] || valid[BLOCK_CLOSE]) {
        return scan_block_line(lexer, valid);
    }
    if (valid[UNCLOSED_TEXT]) {
        // to the next bar, comment or inline field
        bool any = false;
        skip_spaces(lexer);
        while (!at_end(lexer) && peek(lexer) != '|' && peek(lexer) != '%') {
            int32_t c = peek(lexer);
            next(lexer);
            if (c == '[') {
                if (!any) {
                    end_here(lexer);
                }
                if (names_field(lexer)) {
                    if (any) {
                        return take(lexer, UNCLOSED_TEXT);
                    }
                    return take(lexer, field_closes(lexer) ? INLINE_OPEN : UNCLOSED_OPEN);
                }
            }
            if (!is_space(c)) {
                any = true;
                end_here(lexer);
            }
        }
        if (any) {
            return take(lexer, UNCLOSED_TEXT);
        }
        // Nothing but the opening mark: what follows is a bar, a comment or the line's end.
        if (at_end(lexer)) {
            newline(lexer);
            end_here(lexer);
            return take(lexer, EOL);
        }
        return peek(lexer) == '|' && bar_run(lexer);
    }
    if (valid[TUNE_END] || valid[FREE_TEXT] || valid[VERSION_OPEN]) {
        return scan_line_start(lexer, valid);
    }

    bool spaced = skip_spaces(lexer);
    int32_t c = peek(lexer);
    if (at_end(lexer)) {
        if (!valid[EOL]) {
            return false;
        }
        newline(lexer);
        end_here(lexer);
        return take(lexer, EOL);
    }
    if (valid[X_NAME] && valid[K_NAME]) {
        // after the bracket of an inline field
        if (!is_letter(c)) {
            return false;
        }
        next(lexer);
        if (peek(lexer) != ':') {
            return false;
        }
        next(lexer);
        end_here(lexer);
        return take(lexer, field_token(c));
    }
    if (valid[TUPLET_COLON] && c == ':' && !spaced) {
        // `(3:` and `(3::` go on, and `(3::2` holds no bar line; but `(3:|` does.
        next(lexer);
        end_here(lexer);
        return peek(lexer) == '|' ? bar_run(lexer) : take(lexer, TUPLET_COLON);
    }
    if (valid[BAR] || valid[CHORD_OPEN] || valid[GRACE_OPEN]) {
        return scan_music(lexer, valid);
    }
    if (c == '%') {
        return false;
    }
    if (valid[INLINE_CLOSE] && c == ']') {
        next(lexer);
        end_here(lexer);
        return take(lexer, INLINE_CLOSE);
    }
    bool in_line = valid[INLINE_CLOSE];

    if (valid[PROPERTY_WORD] || valid[VOICE_ID]) {
        return field_word(lexer, valid, spaced);
    }
    if (valid[REFERENCE]) {
        bool digits = is_digit(c);
        while (is_digit(peek(lexer))) {
            next(lexer);
        }
        end_here(lexer);
        while (is_space(peek(lexer))) {
            next(lexer);
        }
        if (digits && (at_end(lexer) || peek(lexer) == '%' || (in_line && peek(lexer) == ']'))) {
            return take(lexer, REFERENCE);
        }
        text_to_end(lexer, true, in_line, TEXT);
        return take(lexer, TEXT);
    }
    if (valid[USER_LETTER]) {
        next(lexer);
        end_here(lexer);
        while (is_space(peek(lexer))) {
            next(lexer);
        }
        if (peek(lexer) == '=') {
            return take(lexer, USER_LETTER);
        }
        text_to_end(lexer, true, in_line, TEXT);
        return take(lexer, TEXT);
    }
    if (valid[MACRO_TARGET]) {
        bool target = false;
        while (!at_end(lexer) && peek(lexer) != '%' && !(in_line && peek(lexer) == ']')) {
            if (peek(lexer) == '=' && target) {
                return take(lexer, MACRO_TARGET);
            }
            bool space = is_space(peek(lexer));
            next(lexer);
            if (!space) {
                end_here(lexer);
                target = true;
            }
        }
        return target && take(lexer, TEXT);
    }
    if (valid[BANG_OPEN] && (c == '!' || c == '"' || c == '+')) {
        // the value of a user symbol, if it is one mark; else text
        next(lexer);
        end_here(lexer);
        bool closes = false;
        bool placed = false;
        if (c == '!') {
            closes = mark_closes(lexer, '!');
        } else if (c == '"') {
            placed = strchr("^_<>@", peek(lexer) < 128 && peek(lexer) > 0 ? (int)peek(lexer) : 'a') != NULL;
            closes = string_closes(lexer, in_line);
        } else {
            closes = mark_closes(lexer, '+');
        }
        if (closes) {
            return take(lexer, c == '!' ? BANG_OPEN : c == '+' ? PLUS_OPEN : placed ? ANNOTATION_OPEN : SYMBOL_OPEN);
        }
        text_to_end(lexer, true, in_line, TEXT);
        return take(lexer, TEXT);
    }
    if (valid[QUOTE] && c == '"') {
        next(lexer);
        end_here(lexer);
        return string_closes(lexer, in_line) && take(lexer, QUOTE);
    }
    if (valid[TEXT]) {
        return text_to_end(lexer, true, in_line, TEXT);
    }
    if (valid[VERSION] && !spaced) {
        while (!at_end(lexer) && !is_space(peek(lexer)) && peek(lexer) != '%') {
            next(lexer);
        }
        end_here(lexer);
        return take(lexer, VERSION);
    }
    if (valid[TAIL]) {
        return text_to_end(lexer, true, in_line, TAIL);
    }
    return valid[REST] && c == ']' && text_to_end(lexer, true, false, REST);
}

void *tree_sitter_abc_external_scanner_create(void) { return NULL; }

void tree_sitter_abc_external_scanner_destroy(void *payload) { (void)payload; }

unsigned tree_sitter_abc_external_scanner_serialize(void *payload, char *buffer) {
    (void)payload;
    (void)buffer;
    return 0;
}

void tree_sitter_abc_external_scanner_deserialize(void *payload, const char *buffer, unsigned length) {
    (void)payload;
    (void)buffer;
    (void)length;
}

bool tree_sitter_abc_external_scanner_scan(void *payload, TSLexer *lexer, const bool *valid_symbols) {
    (void)payload;
    return scan(lexer, valid_symbols);
}
