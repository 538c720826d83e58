namespace FlickerProbe.Planning;

/// <summary>One thing to ask before planning.</summary>
/// <param name="Key">Option of the same meaning, without dashes.</param>
/// <param name="Question">What to ask.</param>
/// <param name="Help">What to answer, with an example.</param>
/// <param name="Default">Answer when nothing is typed; null when an answer is needed.</param>
/// <param name="PerCamera">Whether it is asked for each camera.</param>
public sealed record PlanQuestion(string Key, string Question, string Help, string? Default, bool PerCamera);

/// <summary>The questions of a plan, in the order in which they are asked.</summary>
public static class PlanQuestions
{
    /// <summary>All questions.</summary>
    public static IReadOnlyList<PlanQuestion> All { get; } =
    [
        new("title", "What is this audition called?", "Free text, such as: Lecture hall wash, spring", "", false),
        new("mains", "What is the mains frequency?", "50Hz or 60Hz; 'unknown' plans for both", "unknown", false),
        new("camera", "Which cameras will be there?", "Names, separated by commas; the best one for testing first", null, false),
        new("rates", "Which frame rates does '{0}' offer?", "Separated by commas, such as: 25, 29.97, 50, 59.94", null, true),
        new("shutters", "Which shutters does '{0}' offer?", "Separated by commas, such as: 1/50, 1/60, 1/100, 1/250, 1/1000, 180deg; empty when it sets them by itself", "", true),
        new("readout", "Is the readout time of '{0}' known?", "Such as 16ms, or global; 'unknown' plans a calibration take", "unknown", true),
        new("format", "What does the venue shoot?", "Formats, separated by commas, such as: 25@1/50, 29.97@1/60", "", false),
        new("fixture", "Which fixtures are the candidates?", "Names, separated by commas", null, false),
        new("levels", "Which dimmer levels are used?", "Separated by commas, such as: 100%, 50%, 25%, 10%", "100%", false),
        new("other-light", "Can all other light be put out?", "yes or no; 'no' plans takes with the fixture off", "yes", false),
    ];
}
