// Feeds a grammar's scanner damaged texts under the sanitizers: first each whole text, then stretches of them with bytes
// flipped, cut, doubled and mixed with those of others, parsed anew and parsed again after an edit. Both must give the
// same tree. Usage: scanners SEED MANY FILE...; the same seed damages in the same way.

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <tree_sitter/api.h>

const TSLanguage *GRAMMAR(void);

typedef struct {
    char *bytes;
    uint32_t length;
} Text;

// The longest stretch that is damaged.
#define LONGEST 3000u
// Room for what damage adds.
#define ROOM (4u * LONGEST)

static uint64_t state;

// xorshift64*, so that every machine draws the same numbers.
static uint32_t draw(uint32_t below) {
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    uint64_t mixed = state * 0x2545F4914F6CDD1Dull;
    return below == 0 ? 0 : (uint32_t)((mixed >> 33) % below);
}

static uint32_t least(uint32_t one, uint32_t other) { return one < other ? one : other; }

// Puts bytes in the place of `cut` others; what finds no room is left out.
static void put(Text *text, uint32_t at, uint32_t cut, const char *bytes, uint32_t length) {
    cut = least(cut, text->length - at);
    length = least(length, ROOM - (text->length - cut));
    memmove(text->bytes + at + length, text->bytes + at + cut, text->length - at - cut);
    memcpy(text->bytes + at, bytes, length);
    text->length = text->length - cut + length;
}

// Signs of both notations that a stray finger finds, and what is none.
static const char *const SIGNS[] = {"\t", "\n", "\r\n", "\r", " ", "\"", "\\\"", "!", "[", "]", "{", "}", "|", ":", "%", "%%",
    "%%begintext\n", "%%endtext\n", "K:", "[K:", "X:1\n", "V:1 name=\"", "clef=", "+:", "m:", "w:", "\\", "&", "(3:", "**kern", "*^",
    "*v", "*v\t*v", "*x", "*-", "*+", "**dynam", "**", "!LO:", "!!!", "!!", "=", ".", "4c", "4c 4e", "r", "\xEF\xBB\xBF", "\xC3", "\xFF",
    "\xF0\x9F\x8E\xBA"};

static void damage(Text *text, const Text *texts, uint32_t count) {
    char bytes[400];
    uint32_t at = draw(text->length + 1);
    uint32_t cut = draw(4) == 0 ? draw(200) : draw(4);
    switch (draw(6)) {
        case 0:
            if (at < text->length) {
                text->bytes[at] = (char)(text->bytes[at] ^ (1 << draw(8)));
            }
            break;
        case 1: put(text, at, cut, "", 0); break;
        case 2: {
            uint32_t again = least(draw(sizeof bytes), text->length - at);
            memcpy(bytes, text->bytes + at, again);
            put(text, at, 0, bytes, again);
            break;
        }
        case 3: {
            const Text *other = &texts[draw(count)];
            uint32_t from = draw(other->length);
            uint32_t length = least(draw(sizeof bytes), other->length - from);
            put(text, at, cut, other->bytes + from, length);
            break;
        }
        case 4: {
            const char *sign = SIGNS[draw(sizeof SIGNS / sizeof SIGNS[0])];
            uint32_t length = (uint32_t)strlen(sign);
            for (uint32_t times = draw(16) == 0 ? draw(200) : 1; times > 0; times--) {
                put(text, at, 0, sign, length);
            }
            break;
        }
        default: {
            char byte = (char)draw(256);
            put(text, at, 0, &byte, 1);
        }
    }
}

static TSPoint point(const Text *text, uint32_t byte) {
    TSPoint point = {0, 0};
    for (uint32_t at = 0; at < byte; at++) {
        point.column++;
        if (text->bytes[at] == '\n') {
            point.row++;
            point.column = 0;
        }
    }
    return point;
}

static TSTree *parse(TSParser *parser, const TSTree *old, const Text *text) {
    return ts_parser_parse_string(parser, old, text->bytes, text->length);
}

static Text read_file(const char *path) {
    FILE *file = fopen(path, "rb");
    if (!file) {
        perror(path);
        exit(2);
    }
    fseek(file, 0, SEEK_END);
    Text text = {.length = (uint32_t)ftell(file)};
    rewind(file);
    text.bytes = malloc(text.length + 1);
    if (fread(text.bytes, 1, text.length, file) != text.length) {
        exit(2);
    }
    fclose(file);
    return text;
}

// Some text of which the edit's outcome, read again, is not what it is read anew. Kept for a look at it.
static void differs(uint64_t seed, const Text *text) {
    fprintf(stderr, "seed %llu: read again and read anew differ\n", (unsigned long long)seed);
    fwrite(text->bytes, 1, text->length, stderr);
    exit(1);
}

static void once(TSParser *parser, uint64_t seed, const Text *texts, uint32_t count) {
    state = (seed + 1) * 0x9E3779B97F4A7C15ull;
    char before_bytes[ROOM], bytes[ROOM];
    const Text *source = &texts[draw(count)];
    // Most of what matters stands at the start.
    uint32_t from = draw(2) == 0 ? 0 : draw(source->length);
    uint32_t length = least(draw(LONGEST), source->length - from);
    Text text = {.bytes = bytes, .length = length};
    memcpy(bytes, source->bytes + from, length);
    for (uint32_t times = 1 + draw(8); times > 0; times--) {
        damage(&text, texts, count);
    }
    TSTree *old = parse(parser, NULL, &text);
    for (uint32_t edits = 1 + draw(4); edits > 0; edits--) {
        Text before = {.bytes = before_bytes, .length = text.length};
        memcpy(before_bytes, bytes, text.length);
        damage(&text, texts, count);
        // The edit as the two texts tell it.
        uint32_t head = 0, tail = 0;
        uint32_t shorter = least(before.length, text.length);
        while (head < shorter && before.bytes[head] == text.bytes[head]) {
            head++;
        }
        while (tail < shorter - head && before.bytes[before.length - 1 - tail] == text.bytes[text.length - 1 - tail]) {
            tail++;
        }
        TSInputEdit edit = {
            .start_byte = head,
            .old_end_byte = before.length - tail,
            .new_end_byte = text.length - tail,
            .start_point = point(&before, head),
            .old_end_point = point(&before, before.length - tail),
            .new_end_point = point(&text, text.length - tail),
        };
        ts_tree_edit(old, &edit);
        TSTree *again = parse(parser, old, &text);
        ts_tree_delete(old);
        old = again;
    }
    TSTree *anew = parse(parser, NULL, &text);
    char *one = ts_node_string(ts_tree_root_node(old));
    char *other = ts_node_string(ts_tree_root_node(anew));
    // Bytes that are no UTF-8 reach no parser of ours; what an edit within such a character leaves is left open.
    bool is_text = true;
    for (uint32_t at = 0; at < text.length; at++) {
        is_text = is_text && (unsigned char)text.bytes[at] < 0x80;
    }
    if (is_text && strcmp(one, other) != 0) {
        differs(seed, &text);
    }
    free(one);
    free(other);
    ts_tree_delete(old);
    ts_tree_delete(anew);
}

int main(int argc, char **argv) {
    if (argc < 4) {
        fprintf(stderr, "usage: %s SEED MANY FILE...\n", argv[0]);
        return 2;
    }
    uint64_t from = strtoull(argv[1], NULL, 10);
    uint64_t many = strtoull(argv[2], NULL, 10);
    uint32_t count = 0;
    Text *texts = calloc((size_t)argc, sizeof(Text));
    for (int index = 3; index < argc; index++) {
        Text text = read_file(argv[index]);
        if (text.length > 0) {
            texts[count++] = text;
        }
    }
    if (count == 0) {
        fprintf(stderr, "no text to damage\n");
        return 2;
    }
    TSParser *parser = ts_parser_new();
    if (!ts_parser_set_language(parser, GRAMMAR())) {
        fprintf(stderr, "the grammar does not fit the parser\n");
        return 2;
    }
    for (uint32_t index = 0; index < count; index++) {
        ts_tree_delete(parse(parser, NULL, &texts[index]));
    }
    for (uint64_t seed = from; seed < from + many; seed++) {
        once(parser, seed, texts, count);
    }
    ts_parser_delete(parser);
    for (uint32_t index = 0; index < count; index++) {
        free(texts[index].bytes);
    }
    free(texts);
    printf("%u texts whole, %llu damaged from seed %llu\n", count, (unsigned long long)many, (unsigned long long)from);
    return 0;
}
