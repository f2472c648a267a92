; What an editor may fold: a tune, its header, the file's header, typeset text.
[(tune) (tune_header) (file_header) (directive_block)] @fold
