-- Does in Neovim what its user would, and leaves with an error at the first thing that is not as it should be.
local passed = 0
local function test(name, body)
  local ok, why = xpcall(body, debug.traceback)
  if not ok then
    io.stderr:write(("not ok %s\n%s\n"):format(name, why))
    vim.cmd("cquit 1")
  end
  passed = passed + 1
  io.stdout:write(("ok %s\n"):format(name))
end
local function wait(what, condition)
  assert(vim.wait(120000, condition, 20), "waited in vain for " .. what)
end
local function client()
  return vim.lsp.get_clients({ name = "bellhand", bufnr = 0 })[1]
end
local function rules(line)
  local found = {}
  for _, finding in ipairs(vim.diagnostic.get(0, line and { lnum = line } or nil)) do
    found[finding.code] = (found[finding.code] or 0) + 1
  end
  return found
end
--- The line and column, both from 0, where a text stands first.
local function place(text)
  for row, line in ipairs(vim.api.nvim_buf_get_lines(0, 0, -1, false)) do
    local column = line:find(text, 1, true)
    if column then
      return row - 1, column - 1
    end
  end
  error("the score has no " .. text)
end
local function go(text)
  local row, column = place(text)
  vim.api.nvim_win_set_cursor(0, { row + 1, column })
  return row, column
end
local function floats()
  return vim.tbl_filter(function(window)
    return vim.api.nvim_win_get_config(window).relative ~= ""
  end, vim.api.nvim_list_wins())
end
local function content(window)
  return table.concat(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(window), 0, -1, false), "\n")
end

test("a tune is known as abc and the server starts", function()
  vim.cmd.edit(vim.env.SCORE)
  assert(vim.bo.filetype == "abc", vim.bo.filetype)
  wait("the server", function()
    return client() and client().initialized
  end)
end)

test("colours come from the tree", function()
  assert(vim.treesitter.highlighter.active[vim.api.nvim_get_current_buf()], "no tree")
  local row, column = place("B2 d f")
  local names = vim.tbl_map(function(capture)
    return capture.capture
  end, vim.treesitter.get_captures_at_pos(0, row, column))
  assert(vim.tbl_contains(names, "variable"), vim.inspect(names))
  vim.treesitter.get_parser(0):parse()
  assert(vim.fn.foldlevel(3) > 0, "no folds")
end)

test("findings are shown", function()
  wait("findings", function()
    local found = rules()
    return found["notation/key-signature"] and found["mute/other-kind"]
  end)
end)

test("K tells what a note is to the player", function()
  go("B2 d f")
  vim.lsp.buf.hover()
  wait("the window", function()
    return #floats() > 0
  end)
  local text = content(floats()[1])
  assert(text:find("ounds", 1, true), text)
  vim.api.nvim_win_close(floats()[1], true)
end)

--- What the server answers about the place of a text.
local function ask(method, text, more)
  go(text)
  local params = vim.lsp.util.make_position_params(0, client().offset_encoding)
  for key, value in pairs(more or {}) do
    params[key] = value
  end
  local answer = client():request_sync(method, params, 120000, 0)
  return answer and answer.result, answer and answer.err
end

test("a part is gone to, gathered and renamed", function()
  local place_of = ask("textDocument/definition", "Horn 2 in F")
  local row = place("Horn 2 in F")
  assert(place_of.range.start.line == row, vim.inspect(place_of))
  local all = ask("textDocument/references", "Horn 2 in F", { context = { includeDeclaration = true } })
  assert(#all >= 2, vim.inspect(all))
  local edit = ask("textDocument/rename", "Horn 2 in F", { newName = "Low Horn in F" })
  assert(edit.documentChanges or edit.changes, vim.inspect(edit))
  local _, why = ask("textDocument/rename", "Horn 2 in F", { newName = "Horn 2 in D" })
  assert(why and why.message:find("another horn", 1, true), vim.inspect(why))
end)

test("over each part stands what it holds", function()
  local lenses = client():request_sync("textDocument/codeLens", { textDocument = vim.lsp.util.make_text_document_params() }, 120000, 0).result
  local titles = vim.tbl_map(function(lens)
    return lens.command.title
  end, lenses)
  assert(titles[1]:find("notes", 1, true) and titles[2] == "picture", vim.inspect(titles))
end)

test("words for the player are completed, and barlines aligned", function()
  local offers = ask("textDocument/completion", 'cup mute"')
  offers = offers.items or offers
  local labels = vim.tbl_map(function(item)
    return item.label
  end, offers)
  assert(vim.tbl_contains(labels, "con sord."), vim.inspect(labels))
  local options = { tabSize = 4, insertSpaces = true }
  local edits = ask("textDocument/formatting", "B2 d f", { options = options })
  assert(type(edits) == "table" and #edits > 0, vim.inspect(edits))
  local found = client():request_sync("workspace/symbol", { query = "Evening" }, 120000, 0).result
  assert(type(found) == "table", vim.inspect(found))
end)

test("sounding pitches stand in the line", function()
  wait("hints", function()
    return #vim.lsp.inlay_hint.get({ bufnr = 0 }) > 10
  end)
end)

test(":Bellhand explain opens the rule at the cursor", function()
  go("^cup mute")
  vim.cmd("Bellhand explain")
  assert(content(0):find("# mute/other-kind", 1, true), content(0))
  vim.cmd.close()
  assert(vim.tbl_contains(vim.fn.getcompletion("Bellhand explain mute/", "cmdline"), "mute/other-kind"))
  assert(vim.deep_equal(vim.fn.getcompletion("Bellhand no", "cmdline"), { "notes" }))
end)

test(":Bellhand picture draws the part at the cursor", function()
  local open, opened = vim.ui.open, nil
  vim.ui.open = function(file)
    opened = table.concat(vim.fn.readfile(file), "\n")
  end
  go("D2 C B,")
  vim.cmd("Bellhand picture sounding")
  vim.ui.open = open
  assert(opened and opened:find("^<svg ") and opened:find("Horn 2 in F, as it sounds", 1, true), opened)
end)

test(":Bellhand notes lists the parts as they are now", function()
  vim.cmd("Bellhand notes")
  local text = content(0)
  assert(text:find("written", 1, true) and text:find("\nHorn 2 in F (", 1, true), text)
  vim.cmd.close()
end)

test("a quick fix does away with the cup mute", function()
  local row = go("^cup mute")
  assert(rules(row)["mute/other-kind"])
  local tick = vim.b.changedtick
  vim.lsp.buf.code_action({
    apply = true,
    filter = function(action)
      return action.title:find("con sord.", 1, true) ~= nil
    end,
    context = {
      only = { "quickfix" },
      diagnostics = vim.tbl_map(function(finding)
        return finding.user_data.lsp
      end, vim.tbl_filter(function(finding)
        return finding.code == "mute/other-kind"
      end, vim.diagnostic.get(0, { lnum = row }))),
    },
  })
  wait("the fix", function()
    return vim.b.changedtick ~= tick
  end)
  wait("the finding to go", function()
    return not rules()["mute/other-kind"]
  end)
  assert(not pcall(place, "cup mute"), "the words are still there")
end)

test("writing leaves the rest as it is unless it is asked to fix", function()
  vim.cmd("silent write")
  place("K:Bb")
end)

test("writing fixes what keeps the music as it is, when it is asked to", function()
  vim.g.bellhand = vim.tbl_extend("force", vim.g.bellhand, { fix_on_save = true })
  vim.cmd("silent write")
  local file = table.concat(vim.fn.readfile(vim.env.SCORE), "\n")
  assert(not file:find("K:Bb", 1, true) and file:find("_B2 d f", 1, true), file)
  assert(not vim.bo.modified)
  wait("the finding to go", function()
    return not rules()["notation/key-signature"]
  end)
end)

for ending, kind in pairs({ krn = "kern", musicxml = "musicxml" }) do
  test(kind .. " is judged, told of and fixed as well", function()
    vim.cmd.edit((vim.env.SCORE:gsub("abc$", ending)))
    assert(vim.bo.filetype == kind, vim.bo.filetype)
    wait("findings", function()
      local found = rules()
      return found["notation/key-signature"] and found["mute/other-kind"] and found["stopped/too-low"]
    end)
    go(kind == "kern" and "2e-" or "<pitch>")
    vim.lsp.buf.hover()
    wait("the window", function()
      return #floats() > 0
    end)
    local text = content(floats()[1])
    assert(text:find("ounds", 1, true), text)
    vim.api.nvim_win_close(floats()[1], true)
    local row = go("cup mute")
    vim.lsp.buf.code_action({
      apply = true,
      filter = function(action)
        return action.title:find("con sord.", 1, true) ~= nil
      end,
      context = {
        only = { "quickfix" },
        diagnostics = vim.tbl_map(function(finding)
          return finding.user_data.lsp
        end, vim.diagnostic.get(0, { lnum = row })),
      },
    })
    wait("the finding to go", function()
      return not rules()["mute/other-kind"]
    end)
    assert(not pcall(place, "cup mute"), "the words are still there")
    vim.cmd("silent write")
    wait("the signature to go", function()
      return not rules()["notation/key-signature"]
    end)
  end)
end

test("scores are known by their other endings too, and other XML is left alone", function()
  local before = vim.api.nvim_get_current_buf()
  local base = vim.env.SCORE:gsub("%.abc$", "")
  local other = vim.fs.joinpath(vim.fs.dirname(vim.env.SCORE), "timetable.xml")
  vim.fn.writefile(vim.fn.readfile(base .. ".krn"), base .. ".kern")
  vim.fn.writefile(vim.fn.readfile(base .. ".musicxml"), base .. ".xml")
  vim.fn.writefile({ "<timetable/>" }, other)
  for file, kind in pairs({ [base .. ".kern"] = "kern", [base .. ".xml"] = "musicxml" }) do
    vim.cmd.edit(file)
    assert(vim.bo.filetype == kind, file .. ": " .. vim.bo.filetype)
    wait("findings of " .. file, function()
      return rules()["stopped/too-low"]
    end)
  end
  vim.cmd.edit(other)
  assert(vim.bo.filetype == "xml" and not client(), vim.bo.filetype)
  vim.api.nvim_set_current_buf(before)
end)

test("the house's word holds where there is no bellhand.toml", function()
  assert(rules()["stopped/too-low"])
  vim.g.bellhand = vim.tbl_extend("force", vim.g.bellhand, { house = { rules = { ["stopped/too-low"] = "off" } } })
  local before = client().id
  vim.cmd("Bellhand restart")
  wait("a new server's findings", function()
    return client() and client().initialized and client().id ~= before and not rules()["stopped/too-low"]
  end)
end)

test("a settings file is judged and completed as it is written", function()
  local file = vim.fs.joinpath(vim.fs.dirname(vim.env.SCORE), "bellhand.toml")
  vim.fn.writefile({ '[rules]' }, file)
  local score = vim.api.nvim_get_current_buf()
  vim.cmd.edit(file)
  wait("the server", function()
    return client() and client().initialized
  end)
  -- Not saved, and judged all the same.
  vim.api.nvim_buf_set_lines(0, 1, 2, false, { 'all = "ofe"' })
  wait("the problem", function()
    local found = vim.diagnostic.get(0)
    return #found == 1 and found[1].message:find("did you mean `off`", 1, true) and found[1].lnum == 1
  end)
  local params = vim.lsp.util.make_position_params(0, client().offset_encoding)
  params.position = { line = 1, character = 6 }
  local answer = assert(client():request_sync("textDocument/completion", params, 15000, 0))
  local labels = vim.tbl_map(function(item)
    return item.label
  end, answer.result)
  assert(vim.tbl_contains(labels, '"off"'), vim.inspect(labels))
  vim.api.nvim_buf_set_lines(0, 1, 2, false, { 'all = "off"' })
  wait("the problem to go", function()
    return #vim.diagnostic.get(0) == 0
  end)
  vim.cmd("bwipeout!")
  vim.fn.delete(file)
  vim.api.nvim_set_current_buf(score)
end)

test("the server is started anew", function()
  local before = client().id
  vim.cmd("Bellhand restart")
  wait("a new server", function()
    return client() and client().initialized and client().id ~= before
  end)
  wait("findings", function()
    return #vim.diagnostic.get(0) > 0
  end)
end)

test(":checkhealth finds all in order", function()
  vim.cmd("silent checkhealth bellhand")
  local text = content(0)
  assert(text:find("bellhand %d+%.%d+%.%d+ "), text)
  assert(text:find("parser and queries for abc", 1, true), text)
  assert(not text:find("ERROR", 1, true) and not text:find("WARN", 1, true), text)
  vim.cmd.close()
end)

test("the help can be found", function()
  vim.cmd("helptags ALL")
  vim.cmd("help :Bellhand")
  vim.cmd.close()
end)

test("the server leaves when it is told to", function()
  local id = client().id
  vim.lsp.enable("bellhand", false)
  vim.lsp.stop_client(id)
  wait("it to leave", function()
    return vim.lsp.get_client_by_id(id) == nil
  end)
end)

io.stdout:write(("%d passed, 0 failed\n"):format(passed))
vim.cmd("qall!")
