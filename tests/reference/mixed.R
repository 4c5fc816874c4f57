# Makes the cases with "fits" of mixed.json from public data sets that come with R.
# Needs R with lme4 (Debian: r-cran-lme4) and jsonlite; prints JSON. Run: Rscript mixed.R
suppressMessages({
  library(lme4)
  library(nlme)
  library(jsonlite)
})

# Derivatives by fourth-order central differences.
gradient <- function(f, x, h) sapply(seq_along(x), function(i) {
  e <- replace(numeric(length(x)), i, h[i])
  (8 * (f(x + e) - f(x - e)) - (f(x + 2 * e) - f(x - 2 * e))) / (12 * h[i])
})
hessian <- function(f, x, h) {
  g <- function(y) gradient(f, y, h)
  H <- sapply(seq_along(x), function(i) {
    e <- replace(numeric(length(x)), i, h[i])
    (8 * (g(x + e) - g(x - e)) - (g(x + 2 * e) - g(x - 2 * e))) / (12 * h[i])
  })
  H <- matrix(H, length(x))
  (H + t(H)) / 2
}
fine <- function(x) pmax(1e-3 * abs(x), 1e-4)
wide <- function(x) pmax(3e-3 * abs(x), 3e-4)

# The optimum to more digits than the optimiser leaves: Newton steps on the deviance function.
polished <- function(deviance, theta) {
  for (k in 1:8) {
    step <- tryCatch(
      solve(hessian(deviance, theta, wide(theta)), gradient(deviance, theta, fine(theta))),
      error = function(e) 0 * theta
    )
    if (deviance(theta - step) > deviance(theta) + 1e-9) break
    theta <- theta - step
  }
  theta
}

# Satterthwaite df from the Hessian of the deviance in (theta, sigma), entries on the boundary
# dropping out by a pseudo-inverse.
satterthwaite <- function(deviance, theta, sigma, REML, p) {
  state <- environment(deviance)
  whole <- function(v) {
    s2 <- v[length(v)]^2
    deviance(v[-length(v)])
    n <- nrow(state$pp$V)
    d <- state$pp$ldL2() + (state$resp$wrss() + state$pp$sqrL(1)) / s2 + n * log(2 * pi * s2)
    if (!REML) return(d)
    RX <- state$pp$RX()
    d + 2 * c(determinant(RX)$modulus) - ncol(RX) * log(2 * pi * s2)
  }
  covariance <- function(v) {
    deviance(v[-length(v)])
    v[length(v)]^2 * tcrossprod(state$pp$RXi())
  }
  at <- c(theta, sigma)
  e <- eigen(hessian(whole, at, wide(at)), symmetric = TRUE)
  on <- e$values > 1e-6
  A <- 2 * e$vectors[, on, drop = FALSE] %*% diag(1 / e$values[on], sum(on)) %*%
    t(e$vectors[, on, drop = FALSE])
  sapply(1:p, function(j) {
    v <- function(x) covariance(x)[j, j]
    g <- gradient(v, at, fine(at))
    2 * v(at)^2 / as.numeric(t(g) %*% A %*% g)
  })
}

fit <- function(form, data, REML) {
  parts <- suppressMessages(lFormula(form, data, REML = REML))
  deviance <- do.call(mkLmerDevfun, parts)
  one <- optimizeLmer(deviance, optimizer = "bobyqa", control = list(rhoend = 1e-9, maxfun = 1e5))
  other <- optimizeLmer(deviance, control = list(xtol_abs = 1e-12, ftol_abs = 1e-14))
  theta <- if (other$fval < one$fval) other$par else one$par
  lower <- environment(deviance)$lower
  singular <- any(theta[lower == 0] < 1e-4)
  theta[lower == 0 & theta < 1e-4] <- 0
  inside <- which(!(lower == 0 & theta == 0))
  theta[inside] <- polished(function(x) deviance(replace(theta, inside, x)), theta[inside])
  optimum <- list(par = theta, fval = deviance(theta), conv = 0, message = "")
  m <- mkMerMod(environment(deviance), optimum, parts$reTrms, parts$fr)
  df <- satterthwaite(deviance, theta, sigma(m), REML, length(fixef(m)))
  deviance(theta)
  lines <- coef(m)[[1]][, colnames(ranef(m)[[1]]), drop = FALSE]
  list(
    call = paste0("lmer(", paste(deparse(form), collapse = " "), ", REML = ", REML, ")"),
    singular = singular, fixed = unname(fixef(m)), se = unname(sqrt(diag(as.matrix(vcov(m))))),
    df = df, sds = as.data.frame(VarCorr(m))$sdcor, criterion = -2 * as.numeric(logLik(m)),
    subject = rownames(lines), lines = as.matrix(unname(lines))
  )
}

columns <- function(data, y, x, subject) {
  data <- as.data.frame(data)
  picked <- data.frame(as.numeric(data[[y]]))
  for (name in x) picked[[name]] <- as.numeric(data[[name]])
  picked[[subject]] <- as.character(data[[subject]])
  setNames(picked, c(y, x, subject))
}
sleep <- columns(sleepstudy, "Reaction", "Days", "Subject")
children <- columns(Orthodont, "distance", "age", "Subject")
children$male <- as.numeric(Orthodont$Sex == "Male")
children$ageMale <- children$age * children$male
stools <- columns(ergoStool, "effort", character(0), "Subject")
for (type in c("T2", "T3", "T4")) stools[[type]] <- as.numeric(ergoStool$Type == type)
drugs <- columns(datasets::sleep, "extra", character(0), "ID")
drugs$second <- as.numeric(datasets::sleep$group == "2")

cases <- list(
  loblolly = list(columns(Loblolly, "height", "age", "Seed"), height ~ age + (age | Seed)),
  gasoline = list(
    columns(Gasoline, "yield", "endpoint", "Sample"),
    yield ~ endpoint + (endpoint | Sample), yield ~ endpoint + (endpoint || Sample)
  ),
  oats = list(
    columns(Oats, "yield", "nitro", "Block"),
    yield ~ nitro + (nitro | Block), yield ~ nitro + (nitro || Block)
  ),
  theoph = list(columns(Theoph, "conc", "Time", "Subject"), conc ~ Time + (Time | Subject)),
  sleepstudy_late = list(
    subset(sleep, Days >= 7),
    Reaction ~ Days + (Days | Subject), Reaction ~ Days + (Days || Subject)
  ),
  orthodont = list(
    children, distance ~ age + (age | Subject),
    distance ~ age + male + ageMale + (1 | Subject),
    distance ~ age + male + ageMale + (age | Subject)
  ),
  orthodont_girls = list(
    subset(children, male == 0), distance ~ age + (age | Subject), distance ~ age + (1 | Subject)
  ),
  dyestuff2 = list(columns(Dyestuff2, "Yield", character(0), "Batch"), Yield ~ 1 + (1 | Batch)),
  pastes = list(columns(Pastes, "strength", character(0), "sample"), strength ~ 1 + (1 | sample)),
  penicillin_plates = list(
    columns(Penicillin, "diameter", character(0), "plate"), diameter ~ 1 + (1 | plate)
  ),
  ergostool = list(stools, effort ~ T2 + T3 + T4 + (1 | Subject)),
  oxboys = list(
    columns(Oxboys, "height", "age", "Subject"),
    height ~ age + (age | Subject), height ~ age + (age || Subject)
  ),
  chickweight = list(
    columns(ChickWeight, "weight", "Time", "Chick"),
    weight ~ Time + (Time | Chick), weight ~ Time + (Time || Chick)
  ),
  sleep_paired = list(drugs, extra ~ second + (1 | ID)),
  sleepstudy_unbalanced = list(
    subset(sleep, !(Subject == "308" & Days > 0) & !(Subject == "309" & Days > 1) &
      !(Subject == "330" & Days %in% c(3, 4, 7)) & !(Subject == "372" & Days < 6)),
    Reaction ~ Days + (Days | Subject), Reaction ~ Days + (Days || Subject),
    Reaction ~ Days + (1 | Subject)
  ),
  sleepstudy_early = list(subset(sleep, Days <= 3), Reaction ~ Days + (Days | Subject)),
  bodyweight = list(columns(BodyWeight, "weight", "Time", "Rat"), weight ~ Time + (Time | Rat))
)

describe <- function(form, REML) {
  random <- findbars(form)[[1]]
  bars <- length(findbars(form))
  slope <- if (bars == 2) all.vars(findbars(form)[[2]])[1] else all.vars(random[[2]])
  c(
    list(terms = I(all.vars(nobars(form))[-1])),
    if (length(slope)) list(slope = slope),
    list(correlated = bars == 1, method = if (REML) "REML" else "ML")
  )
}
made <- lapply(names(cases), function(id) {
  data <- cases[[id]][[1]]
  forms <- cases[[id]][-1]
  fits <- list()
  for (form in forms) for (REML in c(TRUE, FALSE)) {
    fits[[length(fits) + 1]] <- c(describe(form, REML), fit(form, data, REML))
  }
  subject <- as.character(findbars(forms[[1]])[[1]][[3]])
  list(id = id, y = all.vars(forms[[1]])[1], subject = subject, data = as.list(data), fits = fits)
})
cat(toJSON(list(cases = made), digits = NA, auto_unbox = TRUE, null = "null"), "\n")
