-- What the user can set and ask for.
local M = {}

---@class bellhand.Options
---@field path string The program; a name is looked up in PATH.
---@field enable boolean Whether the server starts by itself.
---@field fix_on_save boolean Whether writing a file fixes first what keeps the music as it is.
---@field sounding boolean Whether sounding pitches are shown in the line.
---@field house table What holds where there is no bellhand.toml, by the same names.
local defaults = { path = "bellhand", enable = true, fix_on_save = false, sounding = false, house = {} }

--- The options in force: the defaults with what `vim.g.bellhand` says.
---@return bellhand.Options
function M.options()
  return vim.tbl_extend("force", defaults, vim.g.bellhand or {})
end

--- What the server is told at its start.
---@return table
function M.init_options()
  local options = M.options()
  return vim.tbl_extend("force", options.house, { inlayHints = { sounding = options.sounding } })
end

---@param buffer integer
---@return vim.lsp.Client?
function M.client(buffer)
  return vim.lsp.get_clients({ name = "bellhand", bufnr = buffer })[1]
end

local function say(message, level)
  vim.notify("bellhand: " .. message, level or vim.log.levels.INFO)
end

--- Colours a buffer by its syntax tree; without the parser nothing is changed.
---@param buffer integer
function M.colour(buffer)
  if pcall(vim.treesitter.start, buffer) then
    vim.wo[0][0].foldmethod = "expr"
    vim.wo[0][0].foldexpr = "v:lua.vim.treesitter.foldexpr()"
    vim.wo[0][0].foldlevel = 99
  end
end

--- Fixes all that keeps the music as it is. Waits for the server, since a file about to be written cannot come later.
---@param buffer integer
---@return boolean changed
function M.fix_all(buffer)
  local client = M.client(buffer)
  if not client then
    return false
  end
  local last = vim.api.nvim_buf_line_count(buffer)
  local answer, why = client:request_sync("textDocument/codeAction", {
    textDocument = vim.lsp.util.make_text_document_params(buffer),
    range = { start = { line = 0, character = 0 }, ["end"] = { line = last, character = 0 } },
    context = { diagnostics = {}, only = { "source.fixAll.bellhand" } },
  }, 3000, buffer)
  if not answer or answer.err then
    say("the file is written as it is: " .. (why or answer and answer.err.message), vim.log.levels.WARN)
    return false
  end
  local changed = false
  for _, action in ipairs(answer.result or {}) do
    if action.edit then
      vim.lsp.util.apply_workspace_edit(action.edit, client.offset_encoding)
      changed = true
    end
  end
  return changed
end

--- Shows text in a window of its own, closed with `q`.
local function show(name, text, filetype)
  vim.cmd.new()
  local buffer = vim.api.nvim_get_current_buf()
  vim.bo[buffer].buftype = "nofile"
  vim.bo[buffer].bufhidden = "wipe"
  vim.bo[buffer].swapfile = false
  pcall(vim.api.nvim_buf_set_name, buffer, "bellhand://" .. name)
  vim.api.nvim_buf_set_lines(buffer, 0, -1, false, vim.split(text, "\n", { trimempty = true }))
  vim.bo[buffer].modifiable = false
  vim.bo[buffer].filetype = filetype
  vim.keymap.set("n", "q", "<Cmd>close<CR>", { buffer = buffer, desc = "close" })
end

--- Runs the program to its end; nil, after saying why, when that fails.
local function program(arguments, options)
  local command = vim.list_extend({ M.options().path }, arguments)
  local started, process = pcall(vim.system, command, vim.tbl_extend("force", { text = true }, options or {}))
  if not started then
    say(("%s cannot be run; set vim.g.bellhand.path (see :checkhealth bellhand)"):format(command[1]), vim.log.levels.ERROR)
    return nil
  end
  local outcome = process:wait(10000)
  if outcome.code ~= 0 then
    say(vim.trim(outcome.stderr or "") ~= "" and vim.trim(outcome.stderr) or "it gave no answer", vim.log.levels.ERROR)
    return nil
  end
  return outcome.stdout
end

--- The rules of the findings at the cursor, or else of those in its line.
---@return string[]
local function rules_at_cursor()
  local row, column = unpack(vim.api.nvim_win_get_cursor(0))
  local here, line = {}, {}
  for _, finding in ipairs(vim.diagnostic.get(0, { lnum = row - 1 })) do
    if finding.source == "bellhand" then
      local at = finding.col <= column and column < math.max(finding.end_col, finding.col + 1)
      local rules = at and here or line
      if not vim.tbl_contains(rules, finding.code) then
        rules[#rules + 1] = finding.code
      end
    end
  end
  return #here > 0 and here or line
end

local actions = {}

function actions.fix()
  if not M.client(0) then
    say("no server reads this buffer", vim.log.levels.WARN)
  elseif not M.fix_all(vim.api.nvim_get_current_buf()) then
    say("nothing to fix here without changing the music")
  end
end

function actions.explain(rule)
  local rules = rule and { rule } or rules_at_cursor()
  if #rules == 0 then
    local list = program({ "explain" })
    if list then
      show("rules", list, "text")
    end
    return
  end
  local pages = {}
  for _, name in ipairs(rules) do
    pages[#pages + 1] = program({ "explain", name })
  end
  if #pages > 0 then
    show(table.concat(rules, ","), table.concat(pages, "\n"), "markdown")
  end
end

--- The parts as their players read them, from the buffer as it is now rather than the file.
function actions.notes()
  local buffer = vim.api.nvim_get_current_buf()
  local path = vim.api.nvim_buf_get_name(buffer)
  local folder = path ~= "" and vim.fs.dirname(path) or nil
  local notes = program({ "notes", "--as", vim.bo[buffer].filetype, "-" }, {
    stdin = vim.api.nvim_buf_get_lines(buffer, 0, -1, false),
    cwd = folder and vim.fn.isdirectory(folder) == 1 and folder or nil,
  })
  if notes then
    -- Each part's line begins with where it came from, which here was a pipe.
    show("notes", (("\n" .. notes):gsub("\n%-: ", "\n"):sub(2)), "text")
  end
end

--- Draws the part at the cursor and hands the picture to what the system opens such files with.
---@param pitch "written"|"sounding"|nil
function actions.picture(pitch)
  local client, buffer = M.client(0), vim.api.nvim_get_current_buf()
  if not client then
    return say("no server reads this buffer", vim.log.levels.WARN)
  end
  local params = vim.lsp.util.make_position_params(0, client.offset_encoding)
  local answer, why = client:request_sync("bellhand/picture", vim.tbl_extend("force", params, { pitch = pitch }), 5000, buffer)
  if not answer or answer.err then
    return say("the part was not drawn: " .. (why or answer and answer.err.message), vim.log.levels.ERROR)
  elseif not answer.result or answer.result == vim.NIL then
    return say("there is no horn part here")
  end
  local folder = vim.fs.joinpath(vim.fn.stdpath("cache") --[[@as string]], "bellhand")
  vim.fn.mkdir(folder, "p")
  local file = vim.fs.joinpath(folder, "picture.svg")
  vim.fn.writefile(vim.split(answer.result.svg, "\n"), file)
  local _, failed = vim.ui.open(file)
  if failed then
    say(("nothing here opens %s: %s"):format(file, failed), vim.log.levels.WARN)
  end
end

function actions.parser()
  local built, report = require("bellhand.parser").build()
  say(table.concat(report, "\n"), built and vim.log.levels.INFO or vim.log.levels.ERROR)
  if built then
    M.colour(0)
  end
end

function actions.restart()
  vim.lsp.enable("bellhand", false)
  local function gone()
    return #vim.lsp.get_clients({ name = "bellhand" }) == 0
  end
  for _, client in ipairs(vim.lsp.get_clients({ name = "bellhand" })) do
    client:stop()
  end
  vim.wait(3000, gone, 20)
  -- The options may have been changed meanwhile.
  local options = M.options()
  vim.lsp.config("bellhand", {
    cmd = { options.path, "lsp" },
    init_options = M.init_options(),
  })
  vim.lsp.enable("bellhand")
end

--- Carries out `:Bellhand ACTION [ARGUMENT]`.
---@param arguments string[]
function M.run(arguments)
  local action = actions[arguments[1]]
  if action then
    action(arguments[2])
  else
    say(("there is no `%s`; say fix, explain, notes, picture, parser or restart"):format(arguments[1]), vim.log.levels.ERROR)
  end
end

--- Completes the action, for `explain` the rule, and for `picture` the pitch.
---@param lead string
---@param line string
---@return string[]
function M.complete(lead, line)
  local words = vim.split(line, "%s+")
  local choices = {}
  if #words <= 2 then
    choices = vim.tbl_keys(actions)
  elseif #words == 3 and words[2] == "explain" then
    for rule in (program({ "explain" }) or ""):gmatch("[%w-]+/[%w-]+") do
      choices[#choices + 1] = rule
    end
  elseif #words == 3 and words[2] == "picture" then
    choices = { "written", "sounding" }
  end
  choices = vim.tbl_filter(function(choice)
    return vim.startswith(choice, lead)
  end, choices)
  table.sort(choices)
  return choices
end

return M
