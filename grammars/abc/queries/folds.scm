; What an editor may fold: a tune, its header, its body, the file's header, typeset text, text between tunes.
[(tune) (tune_header) (tune_body) (file_header) (directive_block) (free_text)] @fold
