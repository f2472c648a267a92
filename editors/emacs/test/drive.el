;;; drive.el --- Does in Emacs what its user would  -*- lexical-binding: t -*-

;;; Commentary:

;; Leaves with an error at the first thing that is not as it should be.

;;; Code:

(require 'bellhand)

(setq make-backup-files nil
      auto-save-default nil
      create-lockfiles nil
      bellhand-program (getenv "BELLHAND")
      eglot-sync-connect 120
      eglot-autoshutdown t
      flymake-no-changes-timeout 0.1)
;; Where Eglot asks before it applies edits, nobody answers here.
(defvar eglot-confirm-server-edits)
(defvar eglot-confirm-server-initiated-edits)
(setq eglot-confirm-server-edits nil
      eglot-confirm-server-initiated-edits nil)

(defvar drive-passed 0)

(defmacro drive-test (name &rest body)
  "Do BODY; whatever it signals ends the run under NAME."
  (declare (indent 1))
  `(condition-case why
       (progn ,@body (setq drive-passed (1+ drive-passed)) (princ (format "ok %s\n" ,name)))
     (error (princ (format "not ok %s: %S\n" ,name why)) (kill-emacs 1))))

(defun drive-wait (what test)
  "Wait for TEST to hold; WHAT says what is waited for."
  (let ((end (+ (float-time) 120)))
    (while (not (funcall test))
      (when (> (float-time) end)
        (error "Waited in vain for %s" what))
      (accept-process-output nil 0.05))))

(defun drive-rules ()
  "The rules of all findings shown."
  (mapcar (lambda (diagnostic)
            (plist-get (alist-get 'eglot-lsp-diag (flymake-diagnostic-data diagnostic)) :code))
          (flymake-diagnostics)))

(defun drive-goto (text)
  "Go to where TEXT begins."
  (goto-char (point-min))
  (search-forward text)
  (goto-char (match-beginning 0)))

(drive-test "a tune is known and coloured"
  (switch-to-buffer (find-file-noselect (getenv "SCORE")))
  (cl-assert (eq major-mode 'bellhand-abc-mode))
  (font-lock-ensure)
  (pcase-dolist (`(,text ,offset ,face) '(("K:Bb" 0 font-lock-keyword-face)
                                          ("K:Bb" 2 font-lock-constant-face)
                                          ("B2 d f" 0 bellhand-note)
                                          ("B2 d f" 1 font-lock-constant-face)
                                          ("^c2" 0 font-lock-warning-face)
                                          ("!p!" 1 font-lock-builtin-face)
                                          ("^solo" 2 font-lock-string-face)
                                          ("| e2 c2" 0 bellhand-bar)
                                          ("% Three" 3 font-lock-comment-face)
                                          ("Evening" 0 font-lock-function-name-face)))
    (drive-goto text)
    (let ((is (get-text-property (+ (point) offset) 'face)))
      (unless (memq face (ensure-list is))
        (error "%s at %d is %S" text offset is)))))

(drive-test "the server starts"
  (apply #'eglot--connect (eglot--guess-contact))
  (drive-wait "the server" #'eglot-managed-p))

(drive-test "findings are shown"
  (flymake-mode 1)
  (flymake-start)
  (drive-wait "findings" (lambda ()
                           (let ((rules (drive-rules)))
                             (and (member "notation/key-signature" rules)
                                  (member "mute/other-kind" rules))))))

(drive-test "ElDoc tells what a note is to the player"
  (drive-goto "B2 d f")
  (let (said)
    (eglot-hover-eldoc-function (lambda (text &rest _) (setq said text)))
    (drive-wait "the words" (lambda () said))
    (cl-assert (string-match-p "ounds" said) t "%s" said)))

(drive-test "the page of the rule at point opens"
  (drive-goto "^cup mute")
  (cl-assert (member "mute/other-kind" (bellhand--rules-at-point)))
  (cl-assert (member "mute/other-kind" (bellhand--all-rules)))
  (save-window-excursion
    (bellhand-explain "mute/other-kind")
    (cl-assert (string-match-p "^# mute/other-kind" (buffer-string)))))

(drive-test "the parts are listed as they are now"
  (save-window-excursion
    (bellhand-notes)
    (cl-assert (string-match-p "^Horn 2 in F (" (buffer-string)))))

(drive-test "the part at point is drawn, and the prefix argument has it sound"
  (drive-goto "D2 C B,")
  (pcase-dolist (`(,sounding ,words) '((nil "as written") (t "as it sounds")))
    (let (shown)
      (cl-letf (((symbol-function 'browse-url-of-file)
                 (lambda (file)
                   (with-temp-buffer
                     (insert-file-contents file)
                     (setq shown (buffer-string))))))
        (bellhand-picture sounding))
      (cl-assert (string-prefix-p "<svg " shown))
      (cl-assert (string-match-p (concat "Horn 2 in F, " words) shown) t "%s" words))))

(defun drive-fix-cup-mute ()
  "Choose the fix that makes a plain mute of the cup mute."
  (drive-goto "cup mute")
  (let* ((actions (eglot-code-actions (point) (point) "quickfix"))
         (fix (seq-find (lambda (action) (string-match-p "con sord" (plist-get action :title)))
                        actions)))
    (cl-assert fix t "%S" actions)
    ;; As choosing it from the menu would.
    (cl-letf (((symbol-function 'completing-read) (lambda (&rest _) (plist-get fix :title)))
              ((symbol-function 'x-popup-menu) (lambda (&rest _) fix)))
      (let ((last-nonmenu-event nil))
        (eglot--read-execute-code-action actions (eglot-current-server) nil))))
  (cl-assert (not (string-match-p "cup mute" (buffer-string))))
  (bellhand--send-changes)
  (drive-wait "the finding to go" (lambda () (not (member "mute/other-kind" (drive-rules))))))

(drive-test "a quick fix does away with the cup mute"
  (drive-fix-cup-mute))

(drive-test "saving leaves the rest as it is unless it is asked to fix"
  (save-buffer)
  (cl-assert (string-match-p "^K:Bb" (buffer-string))))

(drive-test "saving fixes what keeps the music as it is, when it is asked to"
  (setq bellhand-fix-on-save t)
  (set-buffer-modified-p t)
  (save-buffer)
  (cl-assert (not (buffer-modified-p)))
  (with-temp-buffer
    (insert-file-contents (getenv "SCORE"))
    (cl-assert (not (string-match-p "^K:Bb" (buffer-string))))
    (cl-assert (string-match-p "_B2 d f" (buffer-string))))
  (bellhand--send-changes)
  (drive-wait "the finding to go" (lambda () (not (member "notation/key-signature" (drive-rules)))))
  (bellhand-fix-all))

(defun drive-leave ()
  "End the server of this buffer."
  (let ((process (jsonrpc--process (eglot-current-server))))
    (eglot-shutdown (eglot-current-server))
    (drive-wait "it to leave" (lambda () (not (process-live-p process))))))

(pcase-dolist (`(,ending ,mode ,note) '(("krn" bellhand-kern-mode "2e-")
                                        ("musicxml" bellhand-musicxml-mode "<pitch>")))
  (drive-test (format "%s is judged, told of and fixed as well" ending)
    (save-window-excursion
      (switch-to-buffer
       (find-file-noselect (concat (file-name-sans-extension (getenv "SCORE")) "." ending)))
      (cl-assert (eq major-mode mode))
      (apply #'eglot--connect (eglot--guess-contact))
      (drive-wait "the server" #'eglot-managed-p)
      (flymake-mode 1)
      (flymake-start)
      (drive-wait "findings" (lambda ()
                               (seq-every-p (lambda (rule) (member rule (drive-rules)))
                                            '("notation/key-signature" "mute/other-kind"
                                              "stopped/too-low"))))
      (drive-goto note)
      (let (said)
        (eglot-hover-eldoc-function (lambda (text &rest _) (setq said text)))
        (drive-wait "the words" (lambda () said))
        (cl-assert (string-match-p "ounds" said) t "%s" said))
      (drive-fix-cup-mute)
      (save-buffer)
      (bellhand--send-changes)
      (drive-wait "the signature to go"
                  (lambda () (not (member "notation/key-signature" (drive-rules)))))
      (drive-leave))))

(drive-test "scores are known by their other endings too, and other XML is left alone"
  (let ((base (file-name-sans-extension (getenv "SCORE"))))
    (copy-file (concat base ".krn") (concat base ".kern") t)
    (copy-file (concat base ".musicxml") (concat base ".xml") t)
    (write-region "<timetable/>" nil (concat base "-timetable.xml") nil 'silent)
    (pcase-dolist (`(,ending ,mode) '((".kern" bellhand-kern-mode)
                                      (".xml" bellhand-musicxml-mode)
                                      ("-timetable.xml" nxml-mode)))
      (with-current-buffer (find-file-noselect (concat base ending))
        (cl-assert (eq major-mode mode) t "%s %s" ending major-mode)
        (kill-buffer)))))

(drive-test "the house's word holds where there is no bellhand.toml"
  (cl-assert (member "stopped/too-low" (drive-rules)))
  (drive-leave)
  (setq bellhand-house '(:rules (:stopped/too-low "off")))
  (apply #'eglot--connect (eglot--guess-contact))
  (drive-wait "the server" #'eglot-managed-p)
  (flymake-start)
  (drive-wait "findings of another kind only"
              (lambda () (and (drive-rules) (not (member "stopped/too-low" (drive-rules)))))))

(drive-test "the server leaves when it is told to"
  (drive-leave))

(princ (format "%d passed, 0 failed\n" drive-passed))

(provide 'drive)
;;; drive.el ends here
