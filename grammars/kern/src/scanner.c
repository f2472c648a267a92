// The part of reading Humdrum that needs memory: which kind of spine each column of the text belongs to.
//
// The state is the kinds of the present columns, packed four to a byte, so that it stays small for every token of a score.
// An interpretation record changes the columns for the records below it; it is looked at as a whole when it opens.

#include "tree_sitter/alloc.h"
#include "tree_sitter/parser.h"

#include <string.h>

enum Token {
    EOL,
    BLANK,
    REFERENCE_OPEN,
    GLOBAL_OPEN,
    EXCLUSIVE_OPEN,
    INTERPRETATION_OPEN,
    LOCAL_OPEN,
    BARLINE_OPEN,
    DATA_OPEN,
    NULL_TOKEN,
    EMPTY,
    NOTE_OPEN,
    REST_OPEN,
    CHORD_OPEN,
    LOOSE_OPEN,
    DYNAM_OPEN,
    TEXT_OPEN,
    OTHER_OPEN,
    CHORD_NOTE,
    CHORD_REST,
    CHORD_LOOSE,
    ERROR_SENTINEL,
};

enum Kind { OTHER, KERN, DYNAM, TEXT };

enum Line { AT_START, IN_RECORD, IN_DATA };

// More columns than any score has; those beyond are read as spines of an unknown kind.
#define MOST 2000
// The column before the first cell of a data record.
#define NONE 0xFFFF

typedef struct {
    uint8_t line;
    uint16_t column;
    uint16_t count;
    uint8_t kinds[MOST];
} Scanner;

void *tree_sitter_kern_external_scanner_create(void) {
    return ts_calloc(1, sizeof(Scanner));
}

void tree_sitter_kern_external_scanner_destroy(void *payload) { ts_free(payload); }

unsigned tree_sitter_kern_external_scanner_serialize(void *payload, char *buffer) {
    Scanner *s = payload;
    buffer[0] = (char)s->line;
    buffer[1] = (char)(s->column & 0xFF);
    buffer[2] = (char)(s->column >> 8);
    buffer[3] = (char)(s->count & 0xFF);
    buffer[4] = (char)(s->count >> 8);
    unsigned bytes = (s->count + 3u) / 4u;
    memset(buffer + 5, 0, bytes);
    for (unsigned i = 0; i < s->count; i++) {
        buffer[5 + i / 4] |= (char)(s->kinds[i] << (2 * (i % 4)));
    }
    return 5 + bytes;
}

void tree_sitter_kern_external_scanner_deserialize(void *payload, const char *buffer, unsigned length) {
    Scanner *s = payload;
    memset(s, 0, sizeof(Scanner));
    if (length < 5) {
        return;
    }
    const unsigned char *bytes = (const unsigned char *)buffer;
    s->line = bytes[0];
    s->column = (uint16_t)(bytes[1] | bytes[2] << 8);
    s->count = (uint16_t)(bytes[3] | bytes[4] << 8);
    for (unsigned i = 0; i < s->count && i < MOST && 5 + i / 4 < length; i++) {
        s->kinds[i] = (bytes[5 + i / 4] >> (2 * (i % 4))) & 3;
    }
}

static void advance(TSLexer *lexer) { lexer->advance(lexer, false); }

static bool at_line_end(TSLexer *lexer) {
    return lexer->eof(lexer) || lexer->lookahead == '\n' || lexer->lookahead == '\r';
}

static bool at_cell_end(TSLexer *lexer) { return lexer->lookahead == '\t' || at_line_end(lexer); }

// Reads the rest of a cell; keeps as much of it as is needed to know it.
static unsigned read_cell(TSLexer *lexer, char *cell, unsigned room) {
    unsigned length = 0;
    while (!at_cell_end(lexer)) {
        if (length + 1 < room) {
            int32_t c = lexer->lookahead;
            cell[length++] = (char)(c > 0 && c < 128 ? c : '?');
        }
        advance(lexer);
    }
    cell[length] = 0;
    return length;
}

static uint8_t kind_of(const char *cell) {
    if (strcmp(cell, "**kern") == 0) {
        return KERN;
    }
    if (strcmp(cell, "**dynam") == 0 || strcmp(cell, "**mod-dynam") == 0) {
        return DYNAM;
    }
    if (strcmp(cell, "**text") == 0 || strcmp(cell, "**silbe") == 0 || strcmp(cell, "**lyrics") == 0) {
        return TEXT;
    }
    return OTHER;
}

static void put(uint8_t *kinds, unsigned *count, uint8_t kind) {
    if (*count < MOST) {
        kinds[(*count)++] = kind;
    }
}

// Looks at a whole interpretation record and sets the columns as they are below it; tells whether it is an exclusive one.
static bool interpretations(Scanner *s, TSLexer *lexer) {
    uint8_t kinds[MOST];
    unsigned count = 0;
    unsigned column = 0;
    bool exclusive = false;
    bool joining = false;
    uint8_t joined = OTHER;
    // A pair of exchanges: the first one's place, or NONE.
    unsigned swap = NONE;
    for (;;) {
        char cell[16];
        read_cell(lexer, cell, sizeof cell);
        uint8_t kind = column < s->count ? s->kinds[column] : OTHER;
        bool joins = strcmp(cell, "*v") == 0;
        if (strncmp(cell, "**", 2) == 0) {
            exclusive = true;
            put(kinds, &count, kind_of(cell));
        } else if (strcmp(cell, "*^") == 0) {
            put(kinds, &count, kind);
            put(kinds, &count, kind);
        } else if (joins) {
            if (!joining || joined != kind) {
                put(kinds, &count, kind);
            }
        } else if (strcmp(cell, "*+") == 0) {
            put(kinds, &count, kind);
            put(kinds, &count, OTHER);
        } else if (strcmp(cell, "*x") == 0) {
            if (swap == NONE) {
                swap = count;
                put(kinds, &count, kind);
            } else {
                put(kinds, &count, kinds[swap]);
                kinds[swap] = kind;
                swap = NONE;
            }
        } else if (strcmp(cell, "*-") != 0) {
            put(kinds, &count, kind);
        }
        joining = joins;
        joined = kind;
        column++;
        if (lexer->lookahead != '\t') {
            break;
        }
        advance(lexer);
    }
    memcpy(s->kinds, kinds, count);
    s->count = (uint16_t)count;
    return exclusive;
}

// What kind of record begins here. The token takes no text of its own.
static bool open_record(Scanner *s, TSLexer *lexer) {
    lexer->mark_end(lexer);
    s->line = IN_RECORD;
    s->column = NONE;
    switch (lexer->lookahead) {
        case '!':
            advance(lexer);
            if (lexer->lookahead != '!') {
                lexer->result_symbol = LOCAL_OPEN;
                return true;
            }
            advance(lexer);
            lexer->result_symbol = lexer->lookahead == '!' ? REFERENCE_OPEN : GLOBAL_OPEN;
            return true;
        case '*':
            lexer->result_symbol = interpretations(s, lexer) ? EXCLUSIVE_OPEN : INTERPRETATION_OPEN;
            return true;
        case '=':
            lexer->result_symbol = BARLINE_OPEN;
            return true;
        default:
            s->line = IN_DATA;
            lexer->result_symbol = DATA_OPEN;
            return true;
    }
}

// Whether what follows, up to a space, is a note, a rest or neither; the answer is one of three tokens in that order.
static enum Token note_or_rest(TSLexer *lexer, enum Token note) {
    bool pitch = false;
    bool rest = false;
    while (!at_cell_end(lexer) && lexer->lookahead != ' ') {
        int32_t c = lexer->lookahead;
        pitch |= (c >= 'a' && c <= 'g') || (c >= 'A' && c <= 'G');
        rest |= c == 'r';
        advance(lexer);
    }
    return note + (rest ? 1 : pitch ? 0 : 2);
}

static bool kern_cell(TSLexer *lexer) {
    enum Token single = note_or_rest(lexer, NOTE_OPEN);
    if (lexer->lookahead == ' ') {
        single = CHORD_OPEN;
    } else if (single == NOTE_OPEN + 2) {
        single = LOOSE_OPEN;
    }
    lexer->result_symbol = single;
    return true;
}

static bool open_cell(Scanner *s, TSLexer *lexer) {
    if (s->column == NONE) {
        s->column = 0;
    } else if (lexer->lookahead == '\t') {
        lexer->advance(lexer, true);
        s->column++;
    } else {
        return false;
    }
    lexer->mark_end(lexer);
    if (at_cell_end(lexer)) {
        lexer->result_symbol = EMPTY;
        return true;
    }
    uint8_t kind = s->column < s->count ? s->kinds[s->column] : OTHER;
    if (lexer->lookahead == '.') {
        advance(lexer);
        if (at_cell_end(lexer)) {
            lexer->mark_end(lexer);
            lexer->result_symbol = NULL_TOKEN;
            return true;
        }
    }
    switch (kind) {
        case KERN:
            return kern_cell(lexer);
        case DYNAM:
            lexer->result_symbol = DYNAM_OPEN;
            return true;
        case TEXT:
            lexer->result_symbol = TEXT_OPEN;
            return true;
        default:
            lexer->result_symbol = OTHER_OPEN;
            return true;
    }
}

static bool end_record(Scanner *s, TSLexer *lexer) {
    if (lexer->lookahead == '\r') {
        advance(lexer);
    }
    if (lexer->lookahead == '\n') {
        advance(lexer);
    }
    lexer->mark_end(lexer);
    s->line = AT_START;
    lexer->result_symbol = EOL;
    return true;
}

bool tree_sitter_kern_external_scanner_scan(void *payload, TSLexer *lexer, const bool *valid) {
    Scanner *s = payload;
    if (valid[ERROR_SENTINEL]) {
        return false;
    }
    if (s->line == AT_START) {
        if (lexer->eof(lexer) || !valid[DATA_OPEN]) {
            return false;
        }
        if (at_line_end(lexer)) {
            end_record(s, lexer);
            lexer->result_symbol = BLANK;
            return valid[BLANK];
        }
        return open_record(s, lexer);
    }
    if (at_line_end(lexer)) {
        if (valid[EOL]) {
            return end_record(s, lexer);
        }
        if (valid[EMPTY] && s->line == IN_RECORD) {
            lexer->mark_end(lexer);
            lexer->result_symbol = EMPTY;
            return true;
        }
    }
    // The first note of a chord follows its opening at once, every later one a space.
    if (valid[CHORD_NOTE] && (lexer->lookahead == ' ' || !valid[NOTE_OPEN])) {
        while (lexer->lookahead == ' ') {
            lexer->advance(lexer, true);
        }
        lexer->mark_end(lexer);
        lexer->result_symbol = note_or_rest(lexer, CHORD_NOTE);
        return true;
    }
    if (valid[EMPTY] && s->line == IN_RECORD && lexer->lookahead == '\t') {
        lexer->mark_end(lexer);
        lexer->result_symbol = EMPTY;
        return true;
    }
    if (valid[NOTE_OPEN] && s->line == IN_DATA) {
        return open_cell(s, lexer);
    }
    return false;
}
