;;; bellhand.el --- Reads horn parts the way a horn player would  -*- lexical-binding: t -*-

;; Copyright (c) the authors of bellhand

;; Version: 0.1.0
;; Package-Requires: ((emacs "28.1") (eglot "1.9"))
;; Keywords: languages, multimedia, tools
;; SPDX-License-Identifier: MIT

;;; Commentary:

;; Modes for scores as plain text (ABC, Humdrum kern, MusicXML), and what
;; Eglot needs to have them read by `bellhand lsp'.
;;
;; Put this into your init file:
;;
;;     (require 'bellhand)
;;     (add-hook 'bellhand-abc-mode-hook #'eglot-ensure)
;;
;; Findings come through Flymake, words about the note at point through
;; ElDoc, and fixes through `eglot-code-actions'.  On top of that there are:
;;
;;     M-x bellhand-fix-all   fixes what keeps the music as it is
;;     M-x bellhand-explain   opens the page of a rule
;;     M-x bellhand-notes     lists the parts as their players read them
;;     M-x bellhand-picture   shows the part at point as a picture; with C-u,
;;                            as it sounds
;;
;; With `bellhand-fix-on-save' set, saving fixes first.

;;; Code:

(require 'eglot)
(require 'flymake)
(require 'nxml-mode)

(defgroup bellhand nil
  "Horn parts, read the way a horn player would."
  :group 'tools
  :prefix "bellhand-")

(defcustom bellhand-program "bellhand"
  "The program, as a name to look up or as a whole path."
  :type 'string)

(defcustom bellhand-sounding nil
  "Whether sounding pitches are to be shown in the line.
Takes an Eglot that can show them (1.15 or newer), and a server started anew."
  :type 'boolean)

(defcustom bellhand-house nil
  "What holds where there is no bellhand.toml, by the same names.
It takes a server started anew, and is a property list such as

    (:level \"community\" :rules (:range/weak-low \"off\"))"
  :type 'plist)

(defcustom bellhand-fix-on-save nil
  "Whether saving fixes first what keeps the music as it is."
  :type 'boolean
  :safe #'booleanp)

;;;; The modes

(defface bellhand-note '((t :inherit font-lock-variable-name-face))
  "The letter and octave of a note.")

(defface bellhand-bar '((t :inherit shadow))
  "A barline.")

(defvar bellhand-abc-font-lock-keywords
  `(;; The version, directives and comments.
    ("^%abc[^ \t\n]*" (0 font-lock-preprocessor-face t))
    ("^\\(%%[^ \t\n]+\\)\\(.*\\)"
     (1 font-lock-preprocessor-face t) (2 font-lock-string-face t))
    ;; Lines that are fields: the letter, and what a tune is called.
    ("^\\([TC]:\\)[ \t]*\\([^%\n]*\\)"
     (1 font-lock-keyword-face) (2 font-lock-function-name-face))
    ("^\\(K:\\)[ \t]*\\([A-GH][b#]?\\|none\\)?\\([A-Za-z]*\\)"
     (1 font-lock-keyword-face) (2 font-lock-constant-face nil t)
     (3 font-lock-constant-face nil t))
    ("^\\(V:\\)[ \t]*\\([^ \t\n]+\\)"
     (1 font-lock-keyword-face) (2 font-lock-type-face))
    ("^\\([A-Za-z+]:\\)" (1 font-lock-keyword-face))
    ("\\[\\([IKLMmNPQRrUV]:\\)\\([^]\n]*\\)\\]"
     (1 font-lock-keyword-face) (2 font-lock-constant-face))
    ("\\_<\\([a-z]+\\)=" (1 font-lock-type-face))
    ;; Everything below is music: it stands in no field line.
    (bellhand--abc-decoration (0 font-lock-builtin-face))
    (bellhand--abc-note
     (1 font-lock-warning-face nil t) (2 'bellhand-note) (3 font-lock-constant-face nil t))
    (bellhand--abc-bar (0 'bellhand-bar)))
  "What is coloured in `bellhand-abc-mode'.")

(defun bellhand--in-music (regexp limit)
  "Find REGEXP before LIMIT in a line of music, outside strings and comments."
  (let (found)
    (while (and (not found) (re-search-forward regexp limit t))
      (save-match-data
        (setq found
              (not (or (save-excursion
                         (goto-char (match-beginning 0))
                         (beginning-of-line)
                         (looking-at-p "[A-Za-z+]:\\|%"))
                       (nth 8 (save-excursion (syntax-ppss (match-beginning 0)))))))))
    found))

(defun bellhand--abc-decoration (limit)
  "Find a decoration before LIMIT, as long ones stand between exclamation marks."
  (bellhand--in-music "![^!|\n]+!" limit))

(defun bellhand--abc-note (limit)
  "Find a note or rest before LIMIT: accidental, letter with octave, length."
  (bellhand--in-music "\\([_^]\\{1,2\\}\\|=\\)?\\([A-Ga-gxzZ][',]*\\)\\([0-9]*/*[0-9]*\\)" limit))

(defun bellhand--abc-bar (limit)
  "Find a barline before LIMIT."
  (bellhand--in-music ":*\\[?|+\\]?:*[0-9]?\\|::" limit))

(defvar bellhand-abc-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?% "<" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?\" "\"" table)
    (modify-syntax-entry ?' "." table)
    (modify-syntax-entry ?_ "." table)
    (modify-syntax-entry ?\\ "." table)
    table)
  "Strings and comments of ABC.")

;;;###autoload
(define-derived-mode bellhand-abc-mode prog-mode "ABC"
  "For tunes and parts in ABC."
  (setq-local comment-start "% "
              comment-start-skip "%+[ \t]*"
              comment-end ""
              font-lock-defaults '(bellhand-abc-font-lock-keywords)
              imenu-generic-expression '((nil "^T:[ \t]*\\(.+\\)" 1)
                                         ("Parts" "^V:.*\\_<name=\"\\([^\"\n]+\\)\"" 1))
              outline-regexp "X:"
              indent-line-function #'ignore)
  (bellhand--prepare))

(defvar bellhand-kern-font-lock-keywords
  '(("^!.*" (0 font-lock-comment-face))
    ("\\*\\*[^\t\n]+" (0 font-lock-preprocessor-face))
    ("\\*[^\t\n]*" (0 font-lock-keyword-face))
    ("=+[^\t\n]*" (0 'bellhand-bar))
    ("\\([A-Ga-g]+\\)\\([#n-]*\\)" (1 'bellhand-note) (2 font-lock-warning-face)))
  "What is coloured in `bellhand-kern-mode'.")

;;;###autoload
(define-derived-mode bellhand-kern-mode prog-mode "Kern"
  "For scores in spines."
  (setq-local comment-start "!! "
              comment-end ""
              font-lock-defaults '(bellhand-kern-font-lock-keywords t)
              indent-tabs-mode t
              indent-line-function #'ignore)
  (bellhand--prepare))

;;;###autoload
(define-derived-mode bellhand-musicxml-mode nxml-mode "MusicXML"
  "For scores in MusicXML."
  (bellhand--prepare))

;;;###autoload
(progn
  (add-to-list 'auto-mode-alist '("\\.abc\\'" . bellhand-abc-mode))
  (add-to-list 'auto-mode-alist '("\\.\\(?:krn\\|kern\\)\\'" . bellhand-kern-mode))
  (add-to-list 'auto-mode-alist '("\\.musicxml\\'" . bellhand-musicxml-mode))
  ;; Many kinds of file are called .xml; a score says so near its beginning.
  (defun bellhand--xml-score-p ()
    "Whether this buffer is of a file called .xml that holds a score."
    (and buffer-file-name
         (string-suffix-p ".xml" buffer-file-name t)
         (save-excursion
           (goto-char (point-min))
           (re-search-forward "<score-\\(?:partwise\\|timewise\\)\\_>"
                              (min (point-max) (+ (point-min) 65536)) t))))
  (add-to-list 'magic-mode-alist '(bellhand--xml-score-p . bellhand-musicxml-mode)))

(defun bellhand--prepare ()
  "What all the modes share."
  (add-hook 'before-save-hook #'bellhand--before-save nil t))

;;;; The server

(defun bellhand--contact (&rest _)
  "How Eglot starts the server."
  (list bellhand-program "lsp"
        :initializationOptions
        `(:inlayHints (:sounding ,(if bellhand-sounding t :json-false)) ,@bellhand-house)))

(pcase-dolist (`(,mode . ,id) '((bellhand-abc-mode . "abc")
                                (bellhand-kern-mode . "kern")
                                (bellhand-musicxml-mode . "musicxml")))
  (put mode 'eglot-language-id id)
  (add-to-list 'eglot-server-programs (cons mode #'bellhand--contact)))

(defun bellhand--send-changes ()
  "Tell the server now what Eglot would tell it when Emacs is next idle."
  (when (fboundp 'eglot--signal-textDocument/didChange)
    (eglot--signal-textDocument/didChange)))

(defun bellhand--fix ()
  "Fix what keeps the music as it is; whether there was anything."
  (bellhand--send-changes)
  (let ((tick (buffer-chars-modified-tick)))
    (when (eglot-code-actions (point-min) (point-max) "source.fixAll.bellhand")
      (eglot-code-actions (point-min) (point-max) "source.fixAll.bellhand" t))
    (/= tick (buffer-chars-modified-tick))))

(defun bellhand--before-save ()
  "Fix before saving, where that is wanted.  Saving goes on whatever happens."
  (when (and bellhand-fix-on-save (eglot-managed-p))
    (with-demoted-errors "bellhand: the file is saved as it is: %S"
      (bellhand--fix))))

;;;; Commands

;;;###autoload
(defun bellhand-fix-all ()
  "Fix all that can be fixed with the music kept as it is."
  (interactive)
  (unless (eglot-managed-p)
    (user-error "No server reads this buffer; say M-x eglot"))
  (unless (bellhand--fix)
    (message "Nothing to fix here without changing the music")))

(defun bellhand--run (input &rest arguments)
  "What the program says to ARGUMENTS, with the text INPUT to read if not nil."
  (let ((program bellhand-program)
        (errors (make-temp-file "bellhand")))
    (unwind-protect
        (with-temp-buffer
          (when input
            (insert input))
          (let* ((coding-system-for-read 'utf-8)
                 (coding-system-for-write 'utf-8)
                 (code (apply #'call-process-region (point-min) (point-max) program
                              t (list t errors) nil arguments)))
            (unless (eq code 0)
              (user-error "%s" (string-trim (with-temp-buffer
                                              (insert-file-contents errors)
                                              (buffer-string)))))
            (buffer-string)))
      (delete-file errors))))

(defun bellhand--show (name text)
  "Show TEXT in a buffer called NAME, closed with q."
  (let ((buffer (get-buffer-create (format "*bellhand %s*" name))))
    (with-current-buffer buffer
      (let ((inhibit-read-only t))
        (erase-buffer)
        (insert text)
        (goto-char (point-min)))
      (special-mode)
      (setq truncate-lines nil))
    (pop-to-buffer buffer)))

(defun bellhand--rules-at-point ()
  "The rules of the findings at point, or else of those in its line."
  (let ((rules (lambda (from to)
                 (delete-dups
                  (delq nil
                        (mapcar (lambda (diagnostic)
                                  (plist-get (alist-get 'eglot-lsp-diag
                                                        (flymake-diagnostic-data diagnostic))
                                             :code))
                                (flymake-diagnostics from to)))))))
    (or (funcall rules (point) nil)
        (funcall rules (line-beginning-position) (line-end-position)))))

(defun bellhand--all-rules ()
  "The names of all rules."
  (let ((list (bellhand--run nil "explain")) (start 0) rules)
    (while (string-match "^\\([a-z-]+/[a-z-]+\\)" list start)
      (push (match-string 1 list) rules)
      (setq start (match-end 0)))
    (nreverse rules)))

;;;###autoload
(defun bellhand-explain (rule)
  "Open the page of RULE; what is found at point comes first."
  (interactive
   (let ((here (bellhand--rules-at-point)))
     (list (completing-read (if here (format "Rule (default %s): " (car here)) "Rule: ")
                            (bellhand--all-rules) nil t nil nil here))))
  (bellhand--show rule (bellhand--run nil "explain" rule)))

;;;###autoload
(defun bellhand-notes ()
  "List the parts of this buffer, as it is now, as their players read them."
  (interactive)
  (let ((id (get major-mode 'eglot-language-id)))
    (unless id
      (user-error "This buffer holds no score"))
    (bellhand--show
     "notes"
     ;; Each part's line begins with where it came from, which here is a pipe.
     (replace-regexp-in-string
      "^-: " ""
      (bellhand--run (save-restriction
                       (widen)
                       (buffer-substring-no-properties (point-min) (point-max)))
                     "notes" "--as" id "-")))))

;;;###autoload
(defun bellhand-picture (&optional sounding)
  "Show the horn part at point as a picture.
With SOUNDING, the prefix argument, it is drawn as it sounds.  An
Emacs that cannot show SVG hands the picture to a browser."
  (interactive "P")
  (unless (eglot-managed-p)
    (user-error "No server reads this buffer; say M-x eglot"))
  (bellhand--send-changes)
  (let ((picture (jsonrpc-request (eglot-current-server) :bellhand/picture
                                  (append (eglot--TextDocumentPositionParams)
                                          (list :pitch (if sounding "sounding" "written"))))))
    (unless picture
      (user-error "There is no horn part here"))
    (let ((svg (plist-get picture :svg)))
      (if (and (display-graphic-p) (image-type-available-p 'svg))
          (bellhand--show "picture" (propertize " " 'display (create-image svg 'svg t)))
        (let ((file (make-temp-file "bellhand-" nil ".svg")))
          (with-temp-file file
            (insert svg))
          (browse-url-of-file file))))))

(provide 'bellhand)
;;; bellhand.el ends here
