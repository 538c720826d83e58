using System.Globalization;
using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Cli.Terminal;

/// <summary>Asks a person the questions of a plan, one line each; without a person the stated defaults hold.</summary>
internal sealed class PlanInterview(Streams streams, bool isPersonThere)
{
    /// <summary>The answer to a question as text.</summary>
    public string For(string key) => For(key, text => text);

    /// <summary>The answer to a question, asked again until it can be read.</summary>
    public T For<T>(string key, Func<string, T> read, string subject = "")
    {
        PlanQuestion question = PlanQuestions.All.Single(q => q.Key == key);
        string? standard = question.Default;
        if (!isPersonThere) return read(standard ?? "");
        while (true)
        {
            string asked = string.Format(CultureInfo.InvariantCulture, question.Question, subject);
            streams.Error.WriteLine(SafeText.Line(asked));
            streams.Error.Write(SafeText.Line($"  {question.Help}{(string.IsNullOrEmpty(standard) ? "" : $" [{standard}]")}: "));
            streams.Error.Flush();
            string? line = streams.Input.ReadLine() ?? throw new InputException("The questions of the plan were not answered to the end: start again, or give the answers as options.");
            string answer = string.IsNullOrWhiteSpace(line) ? standard ?? "" : line.Trim();
            try
            {
                if (answer.Length == 0 && standard is null) throw new InputException("An answer is needed here.");
                return read(answer);
            }
            catch (InputException refusal)
            {
                streams.Error.WriteLine(SafeText.Line(refusal.Message));
            }
        }
    }

    /// <summary>The answer to a question that has no default.</summary>
    /// <exception cref="InputException">Nobody is there to ask.</exception>
    public T Needed<T>(string key, string option, Func<string, T> read) => isPersonThere
        ? For(key, read)
        : throw new InputException($"A plan needs {option}: see flickerprobe plan --help for how to write it.");

    /// <summary>What a camera offers.</summary>
    public PlanCamera Camera(string name)
    {
        string rates = For("rates", text => { PlanAnswers.Camera(name, text, "", ""); return text; }, name);
        string shutters = For("shutters", text => { PlanAnswers.Camera(name, rates, text, ""); return text; }, name);
        return For("readout", text => PlanAnswers.Camera(name, rates, shutters, text), name);
    }
}
