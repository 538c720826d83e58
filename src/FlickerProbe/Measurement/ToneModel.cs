using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>The tones of a matrix, sorted and tied, with the noise they stand in.</summary>
/// <param name="Fit">The last joint fit.</param>
/// <param name="Grouping">Fundamentals, overtones, sums.</param>
/// <param name="Floor">Noise floor of what the fit leaves.</param>
/// <param name="PowerRatioNeeded">How many times the noise power a peak must reach.</param>
/// <param name="MovingParts">Changes that the column strips did not share.</param>
/// <param name="Matrix">The data.</param>
internal sealed record ToneModel(
    ToneFit Fit, OvertoneGrouping.Grouping Grouping, NoiseFloor Floor, double PowerRatioNeeded, int MovingParts, LightMatrix Matrix)
{
    private const int DriftOrders = 6;
    private const int MostRounds = 8;
    private const int MostTones = 48;
    private const int MostSteps = 8;
    private const int MostSmears = 6;

    /// <summary>A stated tone stands this many standard deviations above nothing.</summary>
    private const double StatedDeviations = 3;

    private const double OfStrongest = 0.01;

    /// <summary>A tone that leaves less than this share of what there was without it is most of it.</summary>
    private const double MostOfIt = 0.5;

    /// <summary>How much change a few slow cosines leave of a drift, as a share of it: twice what a straight ramp has beyond the sixth; and what the fit
    /// leaves of bands that drift multiplies, as a share of their product.</summary>
    private const double OfDrift = 0.04, OfDriftAndBands = 6;

    /// <summary>A plainer reading has at most this share of the other's amplitudes; how often one may be plainer than the last.</summary>
    private const double PlainerShare = 0.8;
    private const int MostPlainer = 3;

    /// <summary>Searches, fits, sorts.</summary>
    /// <param name="matrix">Relative light; slow changes of its level are divided out on the way.</param>
    /// <param name="look">What they show before any tone is taken out; used up by the search.</param>
    /// <param name="loss">What the recording may have lost or invented.</param>
    /// <param name="readout">The readout where it is known to be rolling: the whole picture then can't pulse with any lamp; null where it is not.</param>
    /// <param name="cancellation">Ends the search.</param>
    /// <param name="betweenRounds">Called when large planes have just been done with; null for nothing.</param>
    public static ToneModel Build(LightMatrix matrix, FirstLook look, CompressionLoss loss, KnownReadout? readout, CancellationToken cancellation, Action? betweenRounds = null)
    {
        bool rolling = readout is not null;
        double[] weights = LineWeights.Even(matrix.Lines);
        ToneFit fit = ToneFit.Of(matrix, weights, [], DriftOrders, 0);
        var rejected = new List<PlaneTone>();
        int moving = 0;
        bool slowIsMotion = false;
        double motion = 0;
        var unshared = new List<PlaneTone>();
        var levelChanges = new List<PlaneTone>();
        (PlaneSpectrum spectrum, NoiseFloor floor) = look;
        double[] highestByBand = spectrum.HighestByBand();
        double needed = ToneSearch.PowerRatioNeeded(spectrum);
        for (int round = 0; round < MostRounds && fit.Tones.Length < MostTones; round++)
        {
            cancellation.ThrowIfCancellationRequested();
            betweenRounds?.Invoke();
            PlaneTone[] known = [.. fit.Tones, .. rejected];
            List<PlaneTone> found = ToneSearch.Find(spectrum, floor, matrix, known, 16);
            double strongest = fit.Tones.Length == 0 ? 0 : fit.Tones.Max(t => t.Amplitude);
            found.RemoveAll(t => EncoderEcho.IsBend(t, fit.Tones, matrix, loss) || EncoderEcho.IsMirrored(t, fit.Tones, matrix, loss));
            double spurFloor = loss.SpurFloor(Max(strongest, found.Count == 0 ? 0 : found.Max(t => t.Amplitude)));
            found.RemoveAll(t => t.Amplitude < 0.7 * spurFloor);
            PlaneTone? plainest = found.MaxBy(t => t.Amplitude);
            // Slow and fast leak into each other's search: whichever explains more must be modelled first.
            bool later = false;
            if (!slowIsMotion && Slow(matrix, fit, weights, known, found, Max(0.005 * strongest, 0.7 * spurFloor), loss, readout, out later) is { } series)
            {
                // Slow change that the strips do not share, or that no lamp makes, is somebody walking; there is no end to modelling that.
                slowIsMotion = !StripAgreement.IsCommon(matrix, fit, series.MaxBy(t => t.Amplitude)!)
                    || (series is [{ } lead, _, ..] && IsSlow(lead, matrix) && readout?.IsBelowLamps(ToneSearch.Wrap(lead.Nu), lead.NuDeviation) == true);
                if (slowIsMotion)
                {
                    moving++;
                    motion = Max(motion, series.Max(t => t.Amplitude));
                }
                else
                {
                    found = [.. series];
                }
            }
            // What slow bands leak is left to them.
            if (later) found.RemoveAll(t => Abs(t.X) * matrix.Ticks < LeakCells);
            if (found.Count == 0) break;

            ToneFit last = fit;
            int before = fit.Tones.Length;
            fit = ToneFit.Of(matrix, weights, [.. fit.Tones, .. found.Select(t => t.TiedTo < 0 ? t : t with { TiedTo = t.TiedTo + before })], DriftOrders, MostSteps);
            // One that is most of what there is holds where all at once go astray; the others will be found again beside it.
            if (fit.Misfit > last.Misfit && plainest is not null && ToneFit.Of(matrix, weights, [.. last.Tones, plainest], DriftOrders, MostSteps) is var alone && alone.Misfit < MostOfIt * last.Misfit)
            {
                fit = alone;
            }
            if (fit.Misfit > last.Misfit)
            {
                // More tones that leave more than fewer did went astray.
                rejected.AddRange(found);
                fit = last;
                spectrum.Take(fit.Residual);
                continue;
            }
            PlaneTone[] ofLevel = [.. fit.Tones.Where(t => IsLevelChange(t, matrix, readout))];
            if (ofLevel.Length > 0)
            {
                levelChanges.AddRange(ofLevel);
                rejected.AddRange(ofLevel);
                fit = Without(matrix, weights, fit, [.. fit.Tones.Select(t => !ofLevel.Contains(t))]);
                // Where the whole picture may pulse with the lamp, single ticks are left alone.
                RemoveLevel(matrix, ref fit, weights, steps: rolling);
            }
            else if (round == 0)
            {
                RemoveLevel(matrix, ref fit, weights, steps: false);
            }
            weights = LineWeights.FromResidual(matrix, fit.Residual);
            bool[] shared = Shared(matrix, fit, 0);
            PlaneTone[] common = [.. fit.Tones.Where((_, i) => shared[i])];
            spurFloor = loss.SpurFloor(common.Length == 0 ? 0 : common.Max(t => t.Amplitude));
            // Faint tones beside a strong one are its distortion, which texture and the encoder share out unevenly: no sign of motion.
            double plain = Max(OfStrongest * fit.Tones.Select(t => t.Amplitude).DefaultIfEmpty(0).Max(), spurFloor);
            PlaneTone[] uneven = [.. fit.Tones.Where(t => !common.Contains(t) && t.Amplitude >= plain)];
            moving += uneven.Length;
            unshared.AddRange(uneven.Where(t => !IsSlow(t, matrix)));
            // Fainter than the encoder's own doing, or a slow beat that grew in the fit beyond what was seen of it: not light.
            bool Stays(PlaneTone t) => common.Contains(t) && t.Amplitude >= spurFloor && !(t.Slow && t.Amplitude > 4 * t.SearchAmplitude) && !IsRungOf(t, levelChanges, matrix)
                && !IsToAndFro(t, fit.Tones, matrix) && !(rolling && IsDriftRemainder(t, fit.Drift, matrix));
            rejected.AddRange(fit.Tones.Where(t => !Stays(t)));
            fit = Without(matrix, weights, fit, [.. fit.Tones.Select(Stays)]);
            floor = Left(spectrum, fit);
        }

        // Where something moved, what beats at its pace may be the same thing; a lamp can't be told from it there.
        if (moving > 0 && fit.Tones.Any(t => HasPaceOfMotion(t, matrix)))
        {
            motion = Max(motion, fit.Tones.Where(t => HasPaceOfMotion(t, matrix)).Max(t => t.Amplitude));
            fit = Without(matrix, weights, fit, [.. fit.Tones.Select(t => !HasPaceOfMotion(t, matrix))]);
            floor = Left(spectrum, fit);
        }
        // Nothing but a wandering level: say how far it wandered.
        if (fit.Tones.Length == 0) fit = ToneFit.Of(matrix, weights, [], DriftOrders, 1);
        List<PlaneTone> tied = Overtones.TieAndExtend(fit, OvertoneGrouping.Sort(fit.Tones, matrix, loss), spectrum, floor, matrix);
        if (tied.Count > 0)
        {
            ToneFit together = ToneFit.Of(matrix, weights, tied, DriftOrders, MostSteps);
            // Ties that cost more than a little were wrong.
            if (together.Misfit < 1.05 * fit.Misfit) fit = together;
            floor = Left(spectrum, fit);
            fit = DropFaint(matrix, weights, fit, floor, loss);
            if (SlowSeries.WithoutFaintHalves(fit.Tones, matrix, loss) is { } plainer && ToneFit.Of(matrix, weights, plainer, DriftOrders, MostSteps) is var refitted
                && refitted.Misfit < 1.05 * fit.Misfit)
            {
                fit = refitted;
                floor = Left(spectrum, fit);
            }
            if (Plainer(matrix, weights, fit) is { } plain)
            {
                fit = plain;
                floor = Left(spectrum, fit);
            }
            for (int smears = 0; smears < MostSmears && Sidebands.Beside(fit, matrix, weights, readout, loss, DriftOrders, MostSteps, UnexplainedChange(matrix, fit, floor), spectrum, floor) is { } told; smears++)
            {
                fit = told;
                floor = Left(spectrum, fit);
                // What the smear left covered fainter tones.
                double faintest = 0.7 * loss.SpurFloor(fit.Tones.Max(t => t.Amplitude));
                List<PlaneTone> found = ToneSearch.Find(spectrum, floor, matrix, [.. fit.Tones, .. rejected], 16);
                found.RemoveAll(t => EncoderEcho.IsBend(t, fit.Tones, matrix, loss) || t.Amplitude < faintest);
                if (found.Count > 0)
                {
                    ToneFit more = ToneFit.Of(matrix, weights, [.. fit.Tones, .. found], DriftOrders, MostSteps);
                    if (more.Misfit < fit.Misfit) fit = Without(matrix, weights, more, Shared(matrix, more, told.Tones.Length));
                }
                floor = Left(spectrum, fit);
                fit = DropFaint(matrix, weights, fit, floor, loss);
            }
        }
        return new ToneModel(fit, OvertoneGrouping.Sort(fit.Tones, matrix, loss), floor, needed, moving, matrix)
        {
            NeitherToneNorNoise = NotEvenFaintTones(matrix, weights, fit, spectrum, floor, loss),
            HighestByBand = highestByBand,
            MotionAmplitude = motion,
            Unshared = unshared,
            LevelSwing = levelChanges.Count == 0 ? 0 : 2 * levelChanges.Max(t => t.Amplitude),
        };
    }

    /// <summary>The fit with further tones tied to one of it, their amplitudes solved with those of all others and nothing moved.</summary>
    public ToneFit FitWith(IReadOnlyList<PlaneTone> further) => ToneFit.Of(Matrix, LineWeights.Even(Matrix.Lines), [.. Fit.Tones, .. further], DriftOrders, 0);

    /// <summary>The group of a tone of the fit; null where it is of none.</summary>
    /// <param name="tone">Its place in the fit.</param>
    public OvertoneGrouping.ToneGroup? GroupOf(int tone) => Grouping.Groups.Find(g => g.Members.Exists(m => m.Tone == tone));

    /// <summary>The widest 95 % half-width that noise and unseen overtones leave of a tone's amplitude; 0 without tones.</summary>
    public double LargestDoubt => Fit.Tones.Where(t => !t.IsUnseen).Select(t => Units.Estimate.Coverage95 * double.Hypot(t.AmplitudeDeviation, t.OvertoneDeviation) * NoiseScale(t)).DefaultIfEmpty().Max();

    /// <summary>95 % half-width of what overtones that were not seen may have done to a tone's amplitude.</summary>
    public double OvertonesIn(PlaneTone tone) => Units.Estimate.Coverage95 * tone.OvertoneDeviation * NoiseScale(tone);

    /// <summary>Standard deviation around this tone over that of white noise: footage is noisier at slow aliases and where encoders refresh.</summary>
    public double NoiseScale(PlaneTone tone) => NoiseScale(tone, Floor, Matrix);

    /// <summary>Beats of fewer cycles than this in the clip hardly move.</summary>
    public const double SlowCycles = 3;

    /// <summary>A strong slow beat leaks into the search for fast ones up to here, cycles in the clip.</summary>
    private const double LeakCells = 6;

    /// <summary>Whether a tone hardly moves within the clip.</summary>
    public static bool IsSlow(PlaneTone tone, LightMatrix matrix) => ToneFit.Cycles(tone, matrix) < SlowCycles;

    /// <summary>How much the rows change beyond noise and tones: twice the excess deviation of the residual over its white floor, 0 when there is none.</summary>
    /// <remarks>White noise of deviation σ stands in the Hann-windowed spectrum at σ²·4·(1.5/ticks)·(1.5/lines), so the floor gives σ back.</remarks>
    public double UnexplainedChange(LightMatrix matrix) => UnexplainedChange(matrix, Fit, Floor);

    /// <summary>The same without what even tones too faint to be told from the encoder's own doing explain: those are light or recording, but nothing that moved.
    /// The limit covers them.</summary>
    public required double NeitherToneNorNoise { get; init; }

    // The last to read the spectrum: it is used up by the search.
    private static double NotEvenFaintTones(LightMatrix matrix, double[] weights, ToneFit fit, PlaneSpectrum spectrum, NoiseFloor floor, CompressionLoss loss)
    {
        double unexplained = UnexplainedChange(matrix, fit, floor);
        if (unexplained <= TakeFindings.SomeUnexplained || fit.Tones.Length == 0) return unexplained;
        double spurFloor = loss.SpurFloor(fit.Tones.Max(t => t.Amplitude));
        List<PlaneTone> faint = ToneSearch.Find(spectrum, floor, matrix, fit.Tones, 16);
        faint.RemoveAll(t => t.Amplitude >= spurFloor || IsSlow(t, matrix));
        if (faint.Count == 0) return unexplained;
        ToneFit beside = ToneFit.Of(matrix, weights, [.. fit.Tones, .. faint], DriftOrders, 2);
        bool[] shared = Shared(matrix, beside, fit.Tones.Length);
        bool[] stay = [.. beside.Tones.Select((t, i) => i < fit.Tones.Length || (t.Amplitude < spurFloor && shared[i]))];
        if (!stay.All(s => s)) beside = Without(matrix, weights, beside, stay);
        return Min(unexplained, UnexplainedChange(matrix, beside, floor));
    }

    private static double UnexplainedChange(LightMatrix matrix, ToneFit fit, NoiseFloor floor)
    {
        double white = floor.Typical * matrix.Count * matrix.Lines / 9, all = fit.Sigma * fit.Sigma;
        return all > 2 * white ? 2 * Sqrt(all - white) : 0;
    }

    /// <summary>People and curtains move the picture, and automatic exposure changes it, no faster than this, hertz: common practice, no source.</summary>
    private const double FastestMotionHz = 4;

    private static bool HasPaceOfMotion(PlaneTone tone, LightMatrix matrix) => IsSlow(tone, matrix) || Abs(ToneSearch.Wrap(tone.X)) * matrix.TickHz < FastestMotionHz;

    private static double NoiseScale(PlaneTone tone, NoiseFloor floor, LightMatrix matrix)
    {
        double power = floor.At(tone, matrix);
        // Near standing still, lines' means and drift take part in the fit: the white-noise deviation is then half of what is seen.
        double slow = IsSlow(tone, matrix) ? 2 : 1;
        return slow * (floor.Typical > 0 ? Sqrt(Max(1, power / floor.Typical)) : 1);
    }

    /// <summary>Turns the spectrum to what a fit leaves, and gives its noise floor.</summary>
    private static NoiseFloor Left(PlaneSpectrum spectrum, ToneFit fit)
    {
        spectrum.Take(fit.Residual);
        return NoiseFloor.Of(spectrum);
    }

    /// <summary>The slow series to model next; null when there is none or something faster explains much more.</summary>
    private static PlaneTone[]? Slow(LightMatrix matrix, ToneFit fit, double[] weights, PlaneTone[] known, List<PlaneTone> faster, double faintest, CompressionLoss loss, KnownReadout? readout, out bool later)
    {
        later = false;
        List<PlaneTone> starts = SlowBeatSearch.Find(matrix, fit.Residual, weights, known);
        starts.RemoveAll(t => EncoderEcho.IsMirrored(t, fit.Tones, matrix, loss));
        double first = faster.Count == 0 ? 0 : faster[0].Amplitude;
        if (starts.Count == 0 || starts.Max(t => t.SearchAmplitude) < Max(faintest, 0.05 * first)) return null;
        SlowSeries.Reading? reading = SlowSeries.Best(matrix, fit.Residual, weights, starts, DriftOrders, loss, readout);
        if (reading is null || reading.Largest < faintest || reading.Explained <= 0.25 * first * first / 2) return null;
        // Beside drift that is fitted freely slow bands can pretend to explain a strong fast tone: not better than that tone itself does.
        PlaneTone[] fast = [.. faster.Where(t => Abs(t.X) * matrix.Ticks >= LeakCells).Take(2)];
        later = fast.Length > 0 && reading.Explained < first * first
            && ToneFit.Of(matrix, weights, [.. fit.Tones, .. fast], DriftOrders, 3) is var other && reading.Explained < 0.5 * (fit.Sigma * fit.Sigma - other.Sigma * other.Sigma);
        return later ? null : reading.Tones;
    }

    /// <summary>The tones to keep, ties following them; an overtone whose fundamental goes is free, and so is a sum of which one goes.</summary>
    internal static PlaneTone[] Kept(PlaneTone[] tones, bool[] stays)
    {
        int[] place = new int[tones.Length];
        for (int i = 0, next = 0; i < tones.Length; i++) place[i] = stays[i] ? next++ : -1;
        PlaneTone Moved(PlaneTone t) => t.TiedTo < 0 ? t
            : place[t.TiedTo] < 0 || (t.AlsoTiedTo >= 0 && place[t.AlsoTiedTo] < 0) ? t with { TiedTo = -1, AlsoTiedTo = -1, Multiple = 1 }
            : t with { TiedTo = place[t.TiedTo], AlsoTiedTo = t.AlsoTiedTo < 0 ? -1 : place[t.AlsoTiedTo] };
        return [.. tones.Where((_, i) => stays[i]).Select(Moved)];
    }

    /// <summary>Leaves out tones that do not stand clear of their own noise, and tied overtones with them when the fundamental goes.</summary>
    private static ToneFit DropFaint(LightMatrix matrix, double[] weights, ToneFit fit, NoiseFloor floor, CompressionLoss loss)
    {
        double spurFloor = loss.SpurFloor(fit.Tones.Max(t => t.Amplitude));
        double unexplained = UnexplainedChange(matrix, fit, floor);
        // At the pace of things that move, a tone must stand out of what else changes there.
        bool IsOfMotion(PlaneTone t) => HasPaceOfMotion(t, matrix) && t.Amplitude < unexplained;
        bool[] keep = [.. fit.Tones.Select(t => !IsOfMotion(t) &&
            t.Amplitude >= StatedDeviations * t.AmplitudeDeviation * NoiseScale(t, floor, matrix) && t.Amplitude >= spurFloor)];
        // A fundamental that carries stronger overtones stays: it ties them.
        for (int i = 0; i < keep.Length; i++)
        {
            if (!keep[i]) continue;
            if (fit.Tones[i].TiedTo is var lead and >= 0) keep[lead] = true;
            if (fit.Tones[i].AlsoTiedTo is var also and >= 0) keep[also] = true;
        }
        if (keep.All(k => k)) return fit;
        ToneFit left = Without(matrix, weights, fit, keep);
        // Slow bands whose amplitude is anyone's guess are there all the same where the rows change plainly more without them.
        bool[] guessed = [.. fit.Tones.Select((t, i) => keep[i] || (IsSlow(t, matrix) && t.TiedTo < 0 && !IsOfMotion(t) && t.Amplitude >= spurFloor))];
        if (!guessed.SequenceEqual(keep) && ChangeLeft(left, fit) > TakeFindings.SomeUnexplained) left = guessed.All(k => k) ? fit : Without(matrix, weights, fit, guessed);
        // What is too faint to state can't be missed much: a fit that gets lost without it is no better.
        return left.Misfit < 1.5 * fit.Misfit ? left : fit;
    }

    /// <summary>A reading with fainter slow bands that explains as much beside a drift of the level, the level then divided out; null where there is none.</summary>
    /// <remarks>With hardly a band in the region and a small part of a beat in the clip, a light of half or a third of the rate, strong enough, moves the
    /// rows as a camera's drifting exposure does. Exposure drifts in most clips, lamps that keep half waves apart are few: common practice, no source.
    /// Where the region holds less than a band, the depth counts what such a drift may hide of a light.</remarks>
    private static ToneFit? Plainer(LightMatrix matrix, double[] weights, ToneFit fit)
    {
        ToneFit? best = null;
        for (int round = 0; round < MostPlainer; round++)
        {
            ToneFit from = best ?? fit;
            double most = PlainerShare * from.Tones.Sum(t => t.Amplitude);
            ToneFit? next = SlowSeries.Plainer(from.Tones, matrix).Select(tones => ToneFit.Of(matrix, weights, tones, DriftOrders, MostSteps))
                .Where(tried => tried.Tones.Sum(t => t.Amplitude) < most && ChangeLeft(tried, from) < tried.Drift.Max(Abs) * (OfDrift + OfDriftAndBands * tried.Tones.Max(t => t.Amplitude)))
                .MinBy(tried => tried.Misfit);
            if (next is null) break;
            // Drift multiplies bands: only what is left once it is divided out is held against a reading.
            double[] level = next.Drift;
            matrix.RemoveLevel(level);
            next = ToneFit.Of(matrix, weights, next.Tones, DriftOrders, MostSteps);
            if (ChangeLeft(next, from) > OfDrift * level.Max(Abs))
            {
                matrix.RemoveLevel([.. level.Select(l => 1 / (1 + l) - 1)]);
                break;
            }
            best = next;
        }
        return best;
    }

    /// <summary>How much the rows change in what one fit leaves beyond what a better one does, counted as <see cref="UnexplainedChange(LightMatrix)"/> is.</summary>
    private static double ChangeLeft(ToneFit fit, ToneFit better) => 2 * Sqrt(Max(0, fit.Misfit * fit.Misfit - better.Misfit * better.Misfit));

    /// <summary>Which tones all strips share; the first so many are taken to be.</summary>
    private static bool[] Shared(LightMatrix matrix, ToneFit fit, int known) =>
        [.. Enumerable.Repeat(true, known), .. StripAgreement.AreCommon(matrix, fit, fit.Tones[known..])];

    /// <summary>The tones to keep, fitted again: a few steps, and more where bands that hardly move went astray in them.</summary>
    private static ToneFit Without(LightMatrix matrix, double[] weights, ToneFit fit, bool[] keep)
    {
        PlaneTone[] kept = Kept(fit.Tones, keep);
        ToneFit quick = ToneFit.Of(matrix, weights, kept, DriftOrders, 2);
        if (quick.Misfit < 1.05 * fit.Misfit || kept.Length == 0) return quick;
        ToneFit patient = ToneFit.Of(matrix, weights, kept, DriftOrders, 2 * MostSteps);
        return patient.Misfit < quick.Misfit ? patient : quick;
    }

    /// <summary>What predicted frames lost of each tone of the fit.</summary>
    public PredictionLoss Prediction { get; init; } = PredictionLoss.None;

    /// <summary>The highest amplitude at each band bin of the take's spectrum, before any tone was taken out.</summary>
    public required double[] HighestByBand { get; init; }

    /// <summary>Swing of slow changes of the whole picture that were taken for the camera's, relative; 0 when there were none.</summary>
    public double LevelSwing { get; private init; }

    /// <summary>Tones that beat faster than things move and that not all strips share: a lamp that lights a part of the region would look so.</summary>
    public IReadOnlyList<PlaneTone> Unshared { get; private init; } = [];

    /// <summary>Amplitude of the strongest change at the pace of things that move that was left out as motion, relative; 0 when there was none.</summary>
    public double MotionAmplitude { get; private init; }

    /// <summary>Light runs one way over the rows. Two tones of like strength that mirror each other in time alone are a thing that moves to and fro.</summary>
    private static bool IsToAndFro(PlaneTone tone, PlaneTone[] all, LightMatrix matrix)
    {
        (double x, double nu) = matrix.Wrapped(tone.X, tone.Nu);
        // Within a cell: at 29.97 frames a second an overtone of 100 Hz lies two cells from its fundamental's mirror.
        bool At(PlaneTone other) => ToneSearch.IsWithin(1, 1, matrix, other, -x, nu);
        return Abs(x) * matrix.Ticks > ToneSearch.OneToneCells && Array.Exists(all, other =>
            other != tone && Max(other.Amplitude, tone.Amplitude) < 2.5 * Min(other.Amplitude, tone.Amplitude) && (At(other) || At(other.Mirrored)));
    }

    /// <summary>The picture as one, and a fiftieth or less of the drift that was fitted: what the slow cosines could not follow.</summary>
    private static bool IsDriftRemainder(PlaneTone tone, double[] drift, LightMatrix matrix) =>
        tone.IsWholePicture(matrix) && drift.Length > 0
        && tone.Amplitude < 0.02 * (drift.Max() - drift.Min() + matrix.RemovedLevel.Max() - matrix.RemovedLevel.Min());

    /// <summary>The picture as one, and faster than a level change by a whole number: a rung of the ladder that a step makes.</summary>
    private static bool IsRungOf(PlaneTone tone, List<PlaneTone> levelChanges, LightMatrix matrix) =>
        tone.IsWholePicture(matrix) && levelChanges.Exists(l =>
        {
            double ratio = ToneSearch.Wrap(tone.X) / ToneSearch.Wrap(l.X);
            return l.Amplitude > 1.5 * tone.Amplitude && Abs(Round(ratio)) is >= 2 and <= 16 && Abs(Abs(ratio) - Round(Abs(ratio))) < 0.2;
        });

    /// <summary>The whole picture pulsing this slowly looks like a change of exposure, and with a rolling readout no lamp does it at all.</summary>
    private static bool IsLevelChange(PlaneTone tone, LightMatrix matrix, KnownReadout? readout)
    {
        double bands = Abs(ToneSearch.Wrap(tone.Nu)) * matrix.LinesPerHeight, hertz = Abs(ToneSearch.Wrap(tone.X)) * matrix.TickHz;
        return (tone.IsWholePicture(matrix) && hertz < FrequencyCandidates.SlowestRollingHz) || (readout is not null && hertz < FastestMotionHz && readout.IsBelowLight(bands));
    }

    /// <summary>Divides out slow drift and, where steps were seen, what is left of each tick's mean beside the tones.</summary>
    private static void RemoveLevel(LightMatrix matrix, ref ToneFit fit, double[] weights, bool steps)
    {
        double[] level = (double[])fit.Drift.Clone();
        double noise = fit.Sigma / Sqrt(matrix.Lines);
        for (int n = 0; steps && n < matrix.Ticks; n++)
        {
            if (!matrix.Present[n]) continue;
            double sum = 0;
            for (int r = 0; r < matrix.Lines; r++) sum += fit.Residual[n * matrix.Lines + r];
            // Noise is left where it is; only a change that stands out of it is level.
            if (Abs(sum / matrix.Lines) > 3 * noise) level[n] += sum / matrix.Lines;
        }
        // A "level" that swings by half is no exposure drift: most likely it is the light, so it stays beside the tones in the fit.
        if (level.Max(Abs) is < 0.002 or > 0.5) return;
        matrix.RemoveLevel(level);
        fit = ToneFit.Of(matrix, weights, fit.Tones, DriftOrders, fit.Tones.Length == 0 ? 0 : 2);
    }
}
