-- `:checkhealth bellhand`: whether all that is needed is there.
local M = {}

local function program()
  local path = require("bellhand").options().path
  if vim.fn.executable(path) == 0 then
    vim.health.error(("`%s` cannot be run"):format(path), {
      "Install it: cargo install --path server/bellhand",
      'Or say where it is: vim.g.bellhand = { path = "/somewhere/bellhand" }',
    })
    return
  end
  local outcome = vim.system({ path, "--version" }, { text = true }):wait(5000)
  if outcome.code == 0 then
    vim.health.ok(("%s (%s)"):format(vim.trim(outcome.stdout), vim.fn.exepath(path)))
  else
    vim.health.error(("`%s --version` failed: %s"):format(path, vim.trim(outcome.stderr or "")))
  end
end

local function server()
  if not vim.lsp.is_enabled or vim.lsp.is_enabled("bellhand") then
    vim.health.ok("the language server is enabled for abc, kern and musicxml")
  else
    vim.health.warn('the language server is not enabled: vim.lsp.enable("bellhand")')
  end
  local clients = vim.lsp.get_clients({ name = "bellhand" })
  for _, client in ipairs(clients) do
    vim.health.ok(("running with root %s, %d buffers"):format(client.root_dir or "none", vim.tbl_count(client.attached_buffers)))
  end
  if #clients == 0 then
    vim.health.info("not running; it starts with the first score")
  end
end

local function parsers()
  local parser = require("bellhand.parser")
  for _, language in ipairs(parser.languages) do
    local loaded, why = vim.treesitter.language.add(language)
    local query = loaded and vim.treesitter.query.get(language, "highlights")
    if query then
      vim.health.ok(("parser and queries for %s"):format(language))
    elseif loaded then
      vim.health.warn(("the parser for %s has no queries"):format(language), "Say :Bellhand parser")
    elseif parser.grammar(language) then
      vim.health.warn(("no parser for %s: %s"):format(language, why or "not built"), "Say :Bellhand parser")
    end
  end
  local compiler = parser.compiler()
  if compiler then
    vim.health.ok(("`%s` can build parsers"):format(compiler))
  else
    vim.health.info("no C compiler; colours then come from the server alone")
  end
end

function M.check()
  vim.health.start("bellhand: the program")
  program()
  vim.health.start("bellhand: the language server")
  server()
  vim.health.start("bellhand: syntax trees")
  parsers()
end

return M
