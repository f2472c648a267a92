-- Builds the syntax trees' parsers from the grammars beside this plugin, and lays their queries where Neovim looks.
local M = {}

--- The languages whose grammars may lie beside this plugin.
M.languages = { "abc", "kern" }

--- The plugin's own folder, with links followed, so that the grammars are found from a linked one too.
local function home()
  local here = debug.getinfo(1, "S").source:sub(2)
  return vim.fs.dirname(vim.fs.dirname(vim.fs.dirname(vim.uv.fs_realpath(here) or here)))
end

---@param language string
---@return string? folder The grammar's folder, when it is there with a generated parser.
function M.grammar(language)
  local folder = vim.fs.joinpath(home(), "..", "..", "grammars", language)
  return vim.uv.fs_stat(vim.fs.joinpath(folder, "src", "parser.c")) and vim.fs.normalize(folder) or nil
end

--- The first C compiler there is; `CC` goes first, as elsewhere.
---@return string?
function M.compiler()
  for _, name in ipairs({ vim.env.CC or "cc", "cc", "gcc", "clang" }) do
    if vim.fn.executable(name) == 1 then
      return name
    end
  end
end

local function compile(compiler, source, target)
  local command = { compiler, "-std=c11", "-O2", "-fPIC", "-shared", "-I", source, "-o", target }
  for _, file in ipairs({ "parser.c", "scanner.c" }) do
    local path = vim.fs.joinpath(source, file)
    if vim.uv.fs_stat(path) then
      command[#command + 1] = path
    end
  end
  local outcome = vim.system(command, { text = true }):wait()
  return outcome.code == 0, vim.trim(outcome.stderr or "")
end

local function build_one(language, grammar, compiler)
  local parsers = vim.fs.joinpath(home(), "parser")
  vim.fn.mkdir(parsers, "p")
  -- Compiled beside its place and moved there: a library in use is never written over.
  local target = vim.fs.joinpath(parsers, language .. ".so")
  local fresh = target .. ".new"
  local built, why = compile(compiler, vim.fs.joinpath(grammar, "src"), fresh)
  if not built then
    return false, ("%s: %s"):format(language, why)
  end
  local moved, reason = vim.uv.fs_rename(fresh, target)
  if not moved then
    return false, ("%s: %s"):format(language, reason)
  end
  local queries = vim.fs.joinpath(home(), "queries", language)
  vim.fn.mkdir(queries, "p")
  for name in vim.fs.dir(vim.fs.joinpath(grammar, "queries")) do
    local copied, trouble = vim.uv.fs_copyfile(vim.fs.joinpath(grammar, "queries", name), vim.fs.joinpath(queries, name))
    if not copied then
      return false, ("%s: %s"):format(language, trouble)
    end
  end
  return true, ("%s: %s"):format(language, target)
end

--- Builds all parsers whose grammars are there.
---@return boolean built
---@return string[] report A line for each language.
function M.build()
  local compiler = M.compiler()
  if not compiler then
    return false, { "no C compiler found; install one, or set CC" }
  end
  local all, any, report = true, false, {}
  for _, language in ipairs(M.languages) do
    local grammar = M.grammar(language)
    if grammar then
      local built, line = build_one(language, grammar, compiler)
      all, any = all and built, true
      report[#report + 1] = line
    end
  end
  if not any then
    report[1] = "no grammars found; they lie in grammars/ of bellhand's repository"
  end
  return all and any, report
end

return M
